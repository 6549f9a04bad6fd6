"""YAML as plain text with places, without surprises."""

from __future__ import annotations

import pytest
import yaml
from hypothesis import given, settings

from reportgen import yamlnodes, yamltext
from reportgen.errors import Problems
from reportgen.yamltext import Items, Keys, Node, Scalar
from tests.nasty import YAML
from tests.timing import within


def read(text: str, line: int = 0, column: int = 0) -> tuple[Keys, list[str]]:
    """Read a block; give its keys and the problems as lines."""
    problems = Problems()
    return yamltext.read(text, "a.md", line, problems, column), [str(p) for p in problems]


def plain(node: Node) -> object:
    """Give a node without its places."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Items):
        return [plain(n) for n in node.items]
    return {name.text: plain(value) for name, value in node.entries}


@pytest.mark.parametrize(
    "word", ["no", "on", "yes", "null", "0123", "0x1F", "1e3", "12:30", "2026-05-14", ".inf", "1_000", "~"]
)
def test_no_word_changes_its_meaning(word: str) -> None:
    """Words that YAML 1.1 makes numbers, dates or truth values stay as written."""
    assert plain(read(f"key: {word}\nlist: [{word}]\n{word}: x")[0]) == {
        "key": word,
        "list": [word],
        word: "x",
    }


def test_every_key_and_value_has_its_place() -> None:
    """Lines and columns count from the file's beginning."""
    keys, lines = read("where: port\nrepair: {cost: 40}\nlist:\n  - a", line=10, column=2)
    assert not lines
    repair = keys.get("repair")
    assert isinstance(repair, Keys)
    assert [str(name.place) for name, _ in keys.entries] == ["a.md:11:3", "a.md:12:3", "a.md:13:3"]
    assert str(repair.entries[0][1].place) == "a.md:12:18"
    assert repair.entries[0][1].place.key == "cost"
    assert str(keys.place.at("list")) == "a.md:13:3"
    assert keys.get("nothing") is None


@pytest.mark.parametrize("text", ["a:", "a: ~", "a: null", "a:\nb: x"])
def test_nothing_filled_in_is_empty(text: str) -> None:
    """A key with nothing behind it is empty."""
    value = read(text)[0].get("a")
    assert isinstance(value, Scalar)
    assert value.empty


@pytest.mark.parametrize("text", ['a: ""', "a: 'null'", "a: no", "a: 0", "a: |\n  x"])
def test_quotes_and_words_are_not_empty(text: str) -> None:
    """A text in quotes is a text, even of nothing."""
    value = read(text)[0].get("a")
    assert isinstance(value, Scalar)
    assert not value.empty


def test_a_faulty_block_is_read_key_by_key() -> None:
    """Each mistake is told, what can be read is, and a key that can't be is lost, not missing."""
    keys, lines = read('a: 1\nb: "x\nc: [1\n\nd:e\nf:\n  g: *x\nh: {i: 2}\n# remark\nk: @l\nm: 3')
    assert [line.split(" ")[0] for line in lines] == [
        "a.md:2:4:",
        "a.md:3:4:",
        "a.md:5:1:",
        "a.md:7:6:",
        "a.md:10:4:",
    ]
    assert plain(keys) == {"a": "1", "b": "", "c": "", "d": "", "f": "", "h": {"i": "2"}, "k": "", "m": "3"}
    assert [name.text for name, v in keys.entries if isinstance(v, Scalar) and v.lost] == [
        "b",
        "c",
        "d",
        "f",
        "k",
    ]


def test_lists_at_the_left_margin_stay_with_their_key() -> None:
    """Dashes in the first column belong to the key above, also when the block is read key by key."""
    keys, lines = read("a:\n- x\n- y\nb: @z")
    assert len(lines) == 1
    assert plain(keys) == {"a": ["x", "y"], "b": ""}


def test_the_first_of_two_keys_stands() -> None:
    """Also where the block has another mistake."""
    for more in ("", "\nx: @y"):
        keys, lines = read(f"a: 1\na: 2{more}")
        assert "a.md:2:1: a: 'a' stands twice; keep one of the two" in lines
        assert plain(keys.get("a") or keys) == "1"


@pytest.mark.parametrize("sign", ["&", "*", "!", "!!"])
def test_anchors_aliases_and_tags_are_refused(sign: str) -> None:
    """In values, in lists, in braces and before keys."""
    for text in (f"a: {sign}b", f"a: [{sign}b]", f"a: {{b: {sign}c}}", f"{sign}a b: c"):
        assert len(read(text)[1]) == 1, text


def test_references_cannot_blow_up() -> None:
    """A few lines that would unfold to a billion words are refused at once."""
    lines = [
        "a: &a [x, x]",
        *(f"{n}: &{n} [*{p}, *{p}]" for p, n in zip("abcdefgh", "bcdefghi", strict=True)),
    ]
    with within(1):
        keys, told = read("\n".join(lines))
    assert len(told) == 25
    assert all(isinstance(value, Scalar) for _, value in keys.entries)


def test_deep_nesting_is_told() -> None:
    """At the limit it is read, beyond it is told, and far beyond it doesn't fall over."""
    assert not read("a: " + "[" * 32 + "]" * 32)[1]
    deep = "a.md:1:36: a: more than 32 levels of nesting; write it flatter"
    assert read("a: " + "[" * 33 + "]" * 33)[1] == [deep]
    for text in ("a: " + "[" * 50_000, "a: " + "{a: " * 50_000, "- " * 50_000):
        assert read(text)[1]


def test_remarks_in_a_block_of_text_are_text() -> None:
    """Under `|` and `>` and in quotes, # is a sign like others."""
    keys, lines = read("a: |\n  see #3\n\n  and #4\nb: 'see #5'\nc: see # 6\nd: x#7")
    assert not lines
    assert plain(keys) == {"a": "see #3\n\nand #4\n", "b": "see #5", "c": "see", "d": "x#7"}


def test_invisible_signs_in_escapes() -> None:
    """An escape can't bring in what may not be typed."""
    keys, lines = read('a: "x\\u202ey\\0z"')
    assert lines == ["a.md:1:4: a: an invisible sign (U+202E); type the text again"]
    assert plain(keys) == {"a": "x y z"}


def test_hard_blanks_are_blanks() -> None:
    """No-break, thin and narrow blanks are read as a blank."""
    assert plain(read("a\u00a0b: 1\u202f2\u2009m")[0]) == {"a b": "1 2 m"}


@pytest.mark.parametrize("text", ["", "\n\n", "# only a remark", "   "])
def test_an_empty_block_has_no_keys(text: str) -> None:
    """Nothing is no mistake here."""
    assert read(text)[0].entries == ()
    assert not read(text)[1]


@pytest.mark.parametrize("loader", [yaml.BaseLoader, yaml.CBaseLoader])
def test_both_loaders_read_alike(loader: type, monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine without the C library reads the same."""
    monkeypatch.setattr(yamlnodes, "_LOADER", yamlnodes._as_written(loader))
    keys, lines = read("a:\nb: “x”\nc: {d: 1, e}\nf: 'g'")
    assert lines == [
        'a.md:2:4: b: curly quotes round “x”; write "x"',
        "a.md:3:11: d: a comma in the text '1, e' ends it there; put it in quotes: d: \"1, e\"",
    ]
    value = keys.get("a")
    assert isinstance(value, Scalar)
    assert value.empty


@settings(max_examples=150)
@given(text=YAML)
def test_nasty_yaml_only_makes_problems(text: str) -> None:
    """Whatever stands there, it is read or told, in time."""
    with within(2):
        keys, lines = read(text)
    assert isinstance(keys, Keys)
    assert all(line.startswith("a.md:") for line in lines)
