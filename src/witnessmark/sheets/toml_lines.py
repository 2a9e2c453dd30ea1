"""On which line of a TOML text each entry stands. The text has been read by tomllib before."""

import re

Path = tuple[str | int, ...]

_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_COMMENT = re.compile(r"#([^\n]*)")
_SPACE = re.compile(r"[ \t]*")
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_ATOM = re.compile(r"[^,\]}\n#]*")
_STRINGS = (
    re.compile(r'"""(?:\\.|[^\\])*?"""{0,2}', re.DOTALL),
    re.compile(r"'''.*?'''{0,2}", re.DOTALL),
    re.compile(r'"(?:\\.|[^"\\])*"'),
    re.compile(r"'[^']*'"),
)


def lines_of(text: str) -> dict[Path, int]:
    """Return the line, counted from 1, of every table, key and array element of a TOML text.

    Parameters
    ----------
    text
        A text that tomllib has accepted.

    Returns
    -------
    dict
        From the path of an entry to its line.

    Examples
    --------
    >>> lines_of('[[parts]]\\nname = "F12"\\n[[parts]]\\nname = "K3"')[("parts", 1, "name")]
    4
    """
    return _Walk(text).lines


def comments_of(text: str) -> tuple[str, ...]:
    """Return the comments of a TOML text, in their order, without the sign before them.

    Parameters
    ----------
    text
        A text that tomllib has accepted.

    Examples
    --------
    >>> comments_of('# page 7\\n[circuit]\\nname = "#1" # the fan')
    ('page 7', 'the fan')
    """
    return tuple(_Walk(text).comments)


def head_comments(text: str) -> tuple[str, ...]:
    """Return the comments above the first entry of a TOML text, without the sign before them.

    Parameters
    ----------
    text
        A text that tomllib has accepted.

    Examples
    --------
    >>> head_comments('# page 7\\n\\n[circuit]\\nname = "#1" # the fan')
    ('page 7',)
    """
    return tuple(one.strip() for one in _COMMENT.findall(text[: _head_end(text)]))


def _head_end(text: str) -> int:
    found = _BLANK.match(text)
    return found.end() if found else 0


class _Walk:
    def __init__(self, text: str) -> None:
        self.text, self.at = text, 0
        self.comments: list[str] = []
        self.lines: dict[Path, int] = {}
        self.counts: dict[Path, int] = {}
        self._counted_to, self._line = 0, 1
        table: Path = ()
        self._match(_BLANK)
        while self.at < len(text):
            table = self._heading() if text[self.at] == "[" else self._pair(table)
            self._match(_BLANK)

    def _match(self, pattern: re.Pattern[str]) -> str:
        found = pattern.match(self.text, self.at)
        assert found is not None, "a TOML text that tomllib accepts but this walk does not"
        self.at = found.end()
        if pattern is _BLANK and "#" in found.group():
            self.comments += [one.strip() for one in _COMMENT.findall(found.group())]
        return found.group()

    def _here(self) -> int:
        self._line += self.text.count("\n", self._counted_to, self.at)
        self._counted_to = self.at
        return self._line

    def _note(self, path: Path, line: int) -> None:
        self.lines.setdefault(path, line)

    def _heading(self) -> Path:
        line = self._here()
        is_array = self.text.startswith("[[", self.at)
        self.at += 2 if is_array else 1
        path = self._resolved(self._key(), is_array)
        self.at += 2 if is_array else 1
        for end in range(1, len(path) + 1):
            self._note(path[:end], line)
        return path

    def _resolved(self, names: tuple[str, ...], is_array: bool) -> Path:
        """A heading names tables; the last element of an array of tables is meant."""
        path: Path = ()
        for name in names[:-1]:
            path = (*path, name)
            if path in self.counts:
                path = (*path, self.counts[path] - 1)
        path = (*path, names[-1])
        if is_array:
            number = self.counts.get(path, 0)
            self.counts[path] = number + 1
            self._note(path, self._here())
            return (*path, number)
        return path

    def _key(self) -> tuple[str, ...]:
        names = []
        while True:
            self._match(_SPACE)
            if self.text[self.at] in "\"'":
                names.append(self._string()[1:-1])
            else:
                names.append(self._match(_BARE))
            self._match(_SPACE)
            if self.text[self.at] != ".":
                return tuple(names)
            self.at += 1

    def _pair(self, table: Path) -> Path:
        line = self._here()
        path = (*table, *self._key())
        for end in range(len(table) + 1, len(path) + 1):
            self._note(path[:end], line)
        self.at += 1  # the equals sign
        self._value(path)
        return table

    def _string(self) -> str:
        for pattern in _STRINGS:
            found = pattern.match(self.text, self.at)
            if found is not None:
                self.at = found.end()
                return found.group()
        raise AssertionError("a string that tomllib accepts but this walk does not")

    def _value(self, path: Path) -> None:
        self._match(_SPACE)
        sign = self.text[self.at]
        if sign in "\"'":
            self._string()
        elif sign == "[":
            self._array(path)
        elif sign == "{":
            self._inline_table(path)
        else:
            self._match(_ATOM)

    def _array(self, path: Path) -> None:
        self.at += 1
        number = 0
        self._match(_BLANK)
        while self.text[self.at] != "]":
            self._note((*path, number), self._here())
            self._value((*path, number))
            number += 1
            self._match(_BLANK)
            if self.text[self.at] == ",":
                self.at += 1
                self._match(_BLANK)
        self.at += 1

    def _inline_table(self, path: Path) -> None:
        self.at += 1
        self._match(_BLANK)
        while self.text[self.at] != "}":
            self._pair(path)
            self._match(_BLANK)
            if self.text[self.at] == ",":
                self.at += 1
                self._match(_BLANK)
        self.at += 1
