"""Runs our own templates fast, and a stranger's within bounds: no file, no inner names, so many turns."""

from __future__ import annotations

import operator
import re
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import (
    BaseLoader,
    Environment,
    StrictUndefined,
    TemplateSyntaxError,
    Undefined,
    nodes,
    pass_context,
)
from jinja2.compiler import CodeGenerator, Frame
from jinja2.exceptions import SecurityError
from jinja2.runtime import Context, markup_join
from jinja2.sandbox import ImmutableSandboxedEnvironment
from jinja2.visitor import NodeTransformer
from markupsafe import Markup, escape

from reportgen import wording
from reportgen.passage import capital

MOST_TURNS = 2_000_000  # of all loops of one page; a call is twenty, a hundred signs are one [-]
MOST_SIGNS = 1_000_000  # that a text made on the way may have [-]
_TURNS, _SHOWN, _JOINED, _TOLD, _WHOLE = "turns_", "shown_", "joined_", "told_", "whole_"
# these filters make text of what they get, and these choose from it; there are no others for a stranger
_TEXT = "capitalize d default lower replace title trim upper".split()  # noqa: SIM905
_CHOOSE = "abs first float int last length list map max min reject rejectattr reverse round select selectattr"
_METHODS = {"startswith", "endswith", "strip", "lower", "upper", "capitalize", "title", "split", "count"}
_REFUSED = {
    nodes.AssignBlock: "{% set %} with a text between two tags",
    nodes.FilterBlock: "{% filter %}",
    nodes.CallBlock: "{% call %}",
    nodes.Extends: "{% extends %}",
}
_SAYING = {"_", "gettext", "ngettext", "pgettext", "npgettext"}
# what they give is not escaped, and its places are filled in: only texts of the template, only plain places
_SAID = re.compile(r"(?:[^%]|%%|%\(\w+\)s)*")
_SIGNS = re.compile("[&<>\"']").search
_OF_BLOCKS = frozenset(dir(dict))
_CONTAINERS = (list, tuple, dict, set, frozenset)


def plain(loader: BaseLoader) -> Environment:
    """Give an engine for our own templates: undefined names are errors, text is escaped."""
    made: Environment = _engine(_Own, loader)
    # our templates don't change under a running program, and to look is 50 times a report
    made.auto_reload = False
    made.filters |= {_TOLD: _told, _WHOLE: _whole}
    return made


def bounded(loader: BaseLoader, folder: Path) -> Bounded:
    """Give an engine for the templates of a stranger, which lie in `folder`."""
    made: Bounded = _engine(Bounded, loader)
    made.folder = str(folder)
    return made


def _engine(kind: Callable[..., Any], loader: BaseLoader) -> Any:
    made = kind(
        loader=loader,
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        extensions=["jinja2.ext.i18n"],
    )
    made.install_gettext_callables(
        *(wording.in_template(name) for name in ("gettext", "ngettext")),
        newstyle=True,
        pgettext=wording.in_template("pgettext"),
        npgettext=wording.in_template("npgettext"),
    )
    made.filters |= {"capital": capital, "said": said, "term": wording.term, "number": wording.number}
    return made


def said(text: str, context: str = "") -> str:
    """Give a text that stands in a value, in the reader's language and escaped as it was.

    `_()` and its like take texts that the template itself holds: what they give is not escaped.
    """
    spoken = wording.say_in(context, text) if context else wording.say(text)
    return text if spoken == text else spoken


class _Printing(CodeGenerator):
    """Writes templates as code in which what they print is escaped the short way."""

    def _output_child_pre(self, node: nodes.Expr, frame: Frame, finalize: Any) -> None:
        if frame.eval_ctx.volatile or not frame.eval_ctx.autoescape:
            super()._output_child_pre(node, frame, finalize)
        else:
            told = isinstance(node, nodes.Filter) and node.name in (_TOLD, _WHOLE)  # escaped already
            self.write("(" if told else "environment.printed(")

    def visit_Getattr(self, node: nodes.Getattr, frame: Frame) -> None:  # noqa: N802 -- named by the engine
        """Write how to get what a value holds: most are blocks, of which it is taken without a call."""
        if node.attr in _OF_BLOCKS:
            super().visit_Getattr(node, frame)
            return
        self.write(f"(b_[{node.attr!r}] if type(b_ := ")
        self.visit(node.node, frame)
        self.write(f") is dict and {node.attr!r} in b_ else environment.getattr(b_, {node.attr!r}))")


def _printed(value: Any) -> str:
    """Give a value escaped for a page: as it is where it was escaped before or has no sign of HTML."""
    if type(value) is Markup:
        return value
    if type(value) is str:
        return escape(value) if _SIGNS(value) else value
    return str(value) if type(value) is int else escape(value)


class _Own(Environment):
    """An engine for templates of ours: the same pages as any, in a third of the time."""

    code_generator_class = _Printing
    printed = staticmethod(_printed)

    def _parse(self, source: str, name: str | None, filename: str | None) -> nodes.Template:
        whole: nodes.Template = _Tellings().visit(super()._parse(source, name, filename))
        return whole


class _Tellings(NodeTransformer):
    """Replaces `_("text", name=value)`, which {% trans %} is as well, by a filter: that is called at once."""

    def visit_Call(self, node: nodes.Call) -> nodes.Node:  # noqa: N802 -- named by the engine
        """Give the filter on the same text."""
        self.generic_visit(node)
        if getattr(node.node, "name", "") not in ("_", "gettext") or not _says(node):
            return node
        name = _TOLD if node.kwargs else _WHOLE
        return nodes.Filter(node.args[0], name, [], node.kwargs, None, None, lineno=node.lineno)


@pass_context  # or the engine would take it as done once for all languages
def _told(context: Context, text: str, **values: object) -> Markup:
    """Give a text of a template in the reader's language, with values escaped in its places `%(name)s`."""
    spoken = wording.told(text)
    return Markup(spoken % {name: _printed(value) for name, value in values.items()})  # noqa: S704


@pass_context
def _whole(context: Context, text: str) -> Markup:
    """Give a text of a template that takes no values."""
    return _marked(wording.told(text))


@cache
def _marked(text: str) -> Markup:
    """Give a text as one that is escaped; there are as many as templates hold."""
    return Markup(text % {})  # noqa: S704 -- a template's own


class Bounded(ImmutableSandboxedEnvironment):
    """An engine that stops a template which would run or write without end."""

    intercepted_binops = frozenset({"*", "**", "%", "+"})

    def __init__(self, **settings: Any) -> None:
        super().__init__(**settings)
        self.left, self.folder = MOST_TURNS, ""
        known = self.filters
        self.filters = {name: known[name] for name in _CHOOSE.split()}
        self.filters |= {name: self._checked(known[name]) for name in _TEXT}
        # replace and join tell how long they get before they are done
        self.filters |= {"replace": self._replaced, "join": self._strung}
        self.filters |= {_TURNS: self._turns, _SHOWN: self._shown, _JOINED: self._joined}
        self.globals = {"range": self._range, "_": self.globals["_"]}

    def begin(self) -> None:
        """Begin a page: all turns are left again."""
        self.left = MOST_TURNS

    def _spend(self, turns: int = 1) -> None:
        self.left -= turns
        if self.left < 0:
            raise SecurityError(f"the page takes more than {MOST_TURNS} turns; it runs or writes too much")

    def _room(self, signs: int) -> None:
        self._spend(signs // 100)
        if signs > MOST_SIGNS:
            raise SecurityError(f"a text of more than {MOST_SIGNS} signs; write less")

    def _turns(self, items: Iterable[Any]) -> Iterator[Any]:
        for item in items:
            self._spend()
            yield item

    def _range(self, *bounds: int) -> range:
        numbers = range(*bounds)
        self._room(len(numbers))
        return numbers

    def _shown(self, value: Any) -> Any:
        """Give what is printed, as long as it is one text or number and not a list of them."""
        if isinstance(value, _CONTAINERS):
            raise SecurityError(f"a {type(value).__name__} can't be printed whole; take its items one by one")
        self._spend(len(value) // 100 if isinstance(value, str) else 1)
        return value

    def _checked(self, known: Callable[..., Any]) -> Callable[..., Any]:
        def checked(value: Any, *arguments: Any, **named: Any) -> Any:
            return known(value if isinstance(value, Undefined) else self._shown(value), *arguments, **named)

        return checked

    def _joined(self, parts: Iterable[Any]) -> Any:
        texts = [self._shown(part) for part in parts]
        self._room(sum(len(text) for text in texts if isinstance(text, str)))
        return markup_join(texts)

    def _strung(self, items: Iterable[Any], between: str = "") -> Any:
        parts = [part for item in items for part in (between, item)][1:]
        return self._joined(parts)

    def _replaced(self, text: str, old: str, new: str) -> str:
        told = [str(self._shown(part)) for part in (text, old, new)]
        self._room(len(told[0]) + (told[0].count(told[1]) * len(told[2])))
        return text.replace(old, new)

    def _parse(self, source: str, name: str | None, filename: str | None) -> nodes.Template:
        tree = super()._parse(source, name, filename)
        if filename and filename.startswith(self.folder):
            _refuse(tree, name, filename)
        for output in tree.find_all(nodes.Output):
            parts = output.nodes
            output.nodes = [n if isinstance(n, nodes.TemplateData) else _by(_SHOWN, n) for n in parts]
        for loop in tree.find_all(nodes.For):
            loop.iter = _by(_TURNS, loop.iter)  # type: ignore[arg-type]
        whole: nodes.Template = _Concats().visit(tree)
        return whole

    def call(__self, __context: Context, __value: Any, *args: Any, **kwargs: Any) -> Any:  # noqa: N805
        """Call what a template calls, if a turn is left for it; of a text, only what does not stretch it."""
        __self._spend(20)
        if isinstance(getattr(__value, "__self__", None), (str, bytes)) and __value.__name__ not in _METHODS:
            raise SecurityError(f"{__value.__name__}() of a text is not for a theme")
        result = super().call(__context, __value, *args, **kwargs)
        if isinstance(result, str):
            __self._room(len(result))
        return result

    def wrap_str_format(self, value: Any) -> Any:
        """Refuse the methods of a text that fill it in, to any width."""
        if isinstance(getattr(value, "__self__", None), str) and value.__name__.startswith("format"):
            raise SecurityError(f"{value.__name__}() of a text is not for a theme; join texts with ~")
        return None

    def call_binop(self, context: Context, operator_: str, left: Any, right: Any) -> Any:
        """Add what stays short, multiply numbers alone, and take no power."""
        numbers = all(isinstance(v, (int, float)) for v in (left, right))
        if operator_ == "+" and not numbers:
            self._room(sum(len(v) if hasattr(v, "__len__") else 1 for v in (left, right)))
        elif operator_ == "**" or not numbers or abs(left) > 10**12 or abs(right) > 10**12:
            raise SecurityError(f"{operator_} is for small numbers alone, ** for none; join texts with ~")
        return {"+": operator.add, "*": operator.mul, "%": operator.mod}[operator_](left, right)


class _Concats(NodeTransformer):
    """Replaces `a ~ b` by a joining that looks at the length."""

    def visit_Concat(self, node: nodes.Concat) -> nodes.Node:  # noqa: N802 -- named by the engine
        """Give the joining of the same parts."""
        self.generic_visit(node)
        return _by(_JOINED, nodes.List(node.nodes, lineno=node.lineno))


def _by(name: str, node: nodes.Expr) -> nodes.Filter:
    return nodes.Filter(node, name, [], [], None, None, lineno=node.lineno)


def _refuse(tree: nodes.Template, name: str | None, filename: str) -> None:
    """Refuse what could grow without end unseen: text kept between tags, lists made of lists."""
    for kind, words in _REFUSED.items():
        if found := tree.find(kind):
            raise TemplateSyntaxError(f"{words} is not for a theme of your own", found.lineno, name, filename)
    calls = [call for call in tree.find_all(nodes.Call) if _says(call)]
    known = {id(call.node) for call in calls}
    for word in tree.find_all(nodes.Name):
        if word.name in _SAYING and id(word) not in known:
            message = f"{word.name} takes texts in quotes, with places such as %(name)s"
            raise TemplateSyntaxError(message, word.lineno, name, filename)
    for node in tree.find_all((nodes.List, nodes.Dict, nodes.Tuple)):
        if getattr(node, "ctx", "load") == "load" and any(node.find_all(nodes.Name)):
            message = "a list or block of names; write each where it is used"
            raise TemplateSyntaxError(message, node.lineno, name, filename)


def _says(call: nodes.Call) -> bool:
    """Tell whether a call asks for a text that the template itself holds, as {% trans %} does."""
    name = getattr(call.node, "name", "")
    texts = call.args[:-1] if name in ("ngettext", "npgettext") else call.args
    plain = all(isinstance(t, nodes.Const) and _SAID.fullmatch(str(t.value)) for t in texts)
    return name in _SAYING and plain and call.dyn_args is None and call.dyn_kwargs is None


Loaded = tuple[str, str, Callable[[], bool]]


def loading(texts: dict[str, str], folder: Path) -> Callable[[str], Loaded | None]:
    """Give the loading of templates that were read already, under the names of their files."""

    def load(name: str) -> Loaded | None:
        return (texts[name], str(folder / name), lambda: True) if name in texts else None

    return load
