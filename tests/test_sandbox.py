"""The engine for our own templates: its short ways give what the usual engine gives."""

from __future__ import annotations

from typing import Any

import pytest
from jinja2 import DictLoader, Environment, StrictUndefined, UndefinedError
from markupsafe import Markup

from reportgen import sandbox, wording

VALUES: dict[str, Any] = {
    "plain": "a torn bellows",
    "signs": """<b> & "two" 'one'""",
    "marked": Markup("<em>kept</em>"),
    "number": 12.5,
    "nothing": None,
    "block": {"items": "its own", "name": "<x>", "inner": {"a": 1}},
    "list": ["<", Markup("<br>")],
}
TEMPLATES = (
    "{{ plain }} {{ signs }} {{ marked }} {{ number }} {{ nothing }} {{ list }} {{ 3 }} {{ list is none }}",
    "{{ block.name }} {{ block['items'] }} {{ {1: block}[1].inner.a }} {{ block.items()|length }}",
    "{% for one in list %}{{ one }}{% endfor %} {{ list|join('>') }} {{ signs ~ marked }}",
    "{% set kept %}{{ signs }}{% endset %}{{ kept }}",
    "{% macro told(x) %}<i>{{ x }}</i>{% endmacro %}{{ told(signs) }}{{ told(marked) }}",
    "{{ _('Contents') }} {% trans what=signs, more=marked %}100 %: {{ what }}, {{ more }}{% endtrans %}",
    "{% trans n=number, of=list %}{{ n }} {{ of }} <b>bold</b>{% endtrans %}",
    "{{ _('%(what)s here', what=signs)|upper }}",
)


def usual() -> Environment:
    made = Environment(autoescape=True, undefined=StrictUndefined, extensions=["jinja2.ext.i18n"])
    made.install_null_translations(newstyle=True)  # type: ignore[attr-defined]
    return made


@pytest.mark.parametrize("template", TEMPLATES)
def test_same_as_the_usual_engine(template: str) -> None:
    """What is printed, escaped, kept and put into texts is the same as by the engine as it comes."""
    ours = sandbox.plain(DictLoader({"a.html": template})).get_template("a.html")
    assert ours.render(**VALUES) == usual().from_string(template).render(**VALUES)


@pytest.mark.parametrize(
    "template", ["{{ missing }}", "{{ block.missing }}", "{% trans x=missing %}{{ x }}{% endtrans %}"]
)
def test_undefined_names_are_errors(template: str) -> None:
    """A name that a template misspells is told, however it is printed."""
    with pytest.raises(UndefinedError):
        sandbox.plain(DictLoader({"a.html": template})).get_template("a.html").render(**VALUES)


def test_one_template_speaks_every_language() -> None:
    """A template is compiled once, and its texts are put into words anew for each language."""
    page = sandbox.plain(DictLoader({"a.html": "{{ _('Contents') }}"})).get_template("a.html")
    english = page.render()
    with wording.speaking("de"):
        german = page.render()
    assert (english, german) == ("Contents", wording.catalogue("de").gettext("Contents"))
    assert german != english
    assert page.render() == english
