"""The catalogues: every text of reports in every language, each place kept, compiled as it is written."""

from __future__ import annotations

import gettext
import io
import re
from functools import cache

import pytest
from babel.messages.catalog import Catalog
from jinja2 import nodes

from reportgen import theme, wording
from tests import catalogue
from tests.catalogue import SPOKEN, Found


@cache
def texts() -> Catalog:
    """Give the texts there are."""
    return catalogue.template(catalogue.everything())


def _ids(made: Catalog) -> set[tuple[object, str | None]]:
    return {(m.id, m.context) for m in made if m.id}


@pytest.mark.parametrize("language", SPOKEN)
def test_catalogue_has_every_text_and_no_other(language: str) -> None:
    """What the source says is in the catalogue; what nobody says any more is not."""
    assert _ids(catalogue.kept(language)) == _ids(texts()), "run python -m tests.catalogue"
    assert not catalogue.kept(language).obsolete


@pytest.mark.parametrize("language", SPOKEN)
def test_catalogue_is_compiled(language: str) -> None:
    """The compiled file says what the text of the catalogue says."""
    po = catalogue._path(language, "po").read_bytes()
    mo = catalogue._path(language, "mo").read_bytes()
    assert catalogue.spoken(mo) == catalogue.spoken(catalogue.as_mo(po, language))


@pytest.mark.parametrize("language", SPOKEN)
def test_translations_keep_their_places(language: str) -> None:
    """A translation has the places of its text, each form of a plural too, and no other."""
    wrong = []
    for message in catalogue.kept(language):
        ids = message.id if isinstance(message.id, tuple) else (message.id,)
        given = message.string if isinstance(message.string, tuple) else (message.string,)
        held = {tuple(catalogue.places(text)) for text in ids}
        # one of a plural may leave its number out: "a day" beside "{n} days"
        wrong += [t for t in given if message.id and t and tuple(catalogue.places(t)) not in held]
    assert not wrong


def test_french_signs_keep_to_their_word() -> None:
    """The blank that French sets before a colon and its like breaks no line, and so within its quotes."""
    given = (m.string if isinstance(m.string, tuple) else (m.string,) for m in catalogue.kept("fr") if m.id)
    assert not [text for forms in given for text in forms if re.search(r" [:;?!»]|« ", text)]


@pytest.mark.parametrize("language", SPOKEN)
def test_a_verdict_begins_with_its_own_words(language: str) -> None:
    """Pages leave them out where they stand before it already, so that both have to be the same words."""
    own = {str(m.id): str(m.string) for m in catalogue.kept(language) if not m.context}
    outcome = {m.id: str(m.string) for m in catalogue.kept(language) if m.context == "outcome"}
    heads = {
        "Not judged": own["Not judged"],
        "No limit applies": outcome["no limit applies"],
        "Not taken": outcome["not taken"],
    }
    for text, said in own.items():
        head = heads.get(text.partition(":")[0])
        if head and ":" in text:
            assert re.match(rf"{head}\N{{NARROW NO-BREAK SPACE}}?: ", said, re.IGNORECASE), said


@pytest.mark.parametrize("language", SPOKEN)
def test_every_text_is_translated(language: str) -> None:
    """No text is without a translation, and none is marked as doubtful."""
    assert not catalogue.missing(catalogue.kept(language))


def test_texts_use_plain_places() -> None:
    """A place is a bare name: how a value is printed is settled before it is put in."""
    for message in texts():
        for text in message.id if isinstance(message.id, tuple) else (message.id,):
            assert all(place.isidentifier() for place in catalogue.places(text)), text


SOURCE = """
say("One {a}", a=1)
wording.say_n("{n} day", "{n} days", 3)
say_in("state", "open")
KEPT = later("kept " "in two pieces")
say(KEPT)
other("not ours")
"""


def test_texts_are_found_in_source() -> None:
    """Each way of saying a text is found, with its plural and its meaning."""
    assert set(catalogue.in_source("x.py", SOURCE)) == {
        Found("x.py", "One {a}"),
        Found("x.py", "{n} day", "{n} days"),
        Found("x.py", "open", context="state"),
        Found("x.py", "kept in two pieces"),
    }


def test_text_put_together_first_is_refused() -> None:
    """A text with values already in it is in no catalogue, so it is an error."""
    with pytest.raises(ValueError, match=r"x\.py:1: say takes a whole text"):
        list(catalogue.in_source("x.py", 'wording.say(f"Lowest {low}")'))


def test_texts_are_found_in_templates() -> None:
    """Blocks, their plurals and calls are found."""
    text = (
        '{% trans n=v.n %}Report <b>{{ n }}</b>, 5 %{% endtrans %}{{ pgettext("state", "open") }}'
        "{% trans count=v.n %}a day{% pluralize %}{{ count }} days{% endtrans %}{{ _('Plain') }}"
    )
    assert set(catalogue.in_template("x.html", text)) == {
        Found("x.html", "Report <b>%(n)s</b>, 5 %%"),
        Found("x.html", "open", context="state"),
        Found("x.html", "a day", "%(count)s days"),
        Found("x.html", "Plain"),
    }


def test_templates_say_only_texts_of_their_own() -> None:
    """What a call of a template gives is not escaped, so it takes no value: those go through `said`."""
    environment, calls = theme.find().environment, set(catalogue.IN_TEMPLATES)
    bad = []
    for path in sorted(theme.home().rglob("*.html")):
        for call in environment.parse(path.read_text(encoding="utf-8")).find_all(nodes.Call):
            name = getattr(call.node, "name", "")
            texts = call.args[:-1] if "ngettext" in name or name == "npgettext" else call.args
            bad += [path.name for arg in texts if name in calls and not isinstance(arg, nodes.Const)]
    assert not bad


def test_translation_is_kept_and_compiled() -> None:
    """A translation survives the next run, and the compiled catalogue gives it."""
    made = catalogue.template([Found("a.py", "One {a}"), Found("a.py", "{n} day", "{n} days")])
    old = catalogue._empty("de")
    old.add("One {a}", "Ein {a}")
    old.add(("{n} day", "{n} days"), ("{n} Tag", "{n} Tage"))
    old.add("gone", "weg")
    kept = catalogue.kept
    catalogue.kept = lambda language: old
    try:
        new = catalogue.updated("de", made)
    finally:
        catalogue.kept = kept
    po = catalogue.as_po(new)
    spoken = gettext.GNUTranslations(io.BytesIO(catalogue.as_mo(po, "de")))
    assert spoken.gettext("One {a}") == "Ein {a}"
    assert spoken.ngettext("{n} day", "{n} days", 2) == "{n} Tage"
    assert b"weg" not in po
    assert wording.DOMAIN == "reportgen"
