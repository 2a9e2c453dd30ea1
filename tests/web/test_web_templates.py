"""No page may hold what the content policy forbids: the browser would drop it silently."""

import re
from pathlib import Path

import pytest

import witnessmark.web

WEB = Path(witnessmark.web.__file__).parent
TEMPLATES = sorted((WEB / "templates").rglob("*.html"))
SCRIPTS = sorted((WEB / "static").rglob("*.js"))
STYLES = sorted((WEB / "static").rglob("*.css"))
FORBIDDEN = {
    "a style attribute": r"\sstyle\s*=",
    "a style element": r"<style\b",
    "an inline script": r"<script\b(?![^>]*\bsrc=)",
    "an event attribute": r"""\son[a-z]+\s*=\s*["']""",
    "hx-on": r"\bhx-on\b",
    "computed htmx values": r"""hx-(vals|headers)\s*=\s*["']\s*(js|javascript):""",
    "a javascript address": r"javascript:",
    "a filter in a trigger": r"hx-trigger\s*=\s*\"[^\"]*\[",
    "a request to another host": r"""(src|href|action)\s*=\s*["'](https?:)?//""",
}


def test_there_are_templates_to_read():
    assert len(TEMPLATES) > 10


@pytest.mark.parametrize("what", FORBIDDEN)
def test_no_template_holds_what_the_policy_forbids(what):
    guilty = [
        f"{path.relative_to(WEB)}: {found.group(0)!r}"
        for path in TEMPLATES
        for found in re.finditer(FORBIDDEN[what], path.read_text(), re.IGNORECASE)
    ]
    assert guilty == []


@pytest.mark.parametrize(
    ("what", "planted"),
    [
        ("a style attribute", '<p style="color:red">'),
        ("an inline script", "<script>alert(1)</script>"),
        ("an event attribute", '<a onclick="go()">'),
        ("hx-on", '<a hx-on:click="go()">'),
        ("computed htmx values", "<a hx-vals='js:{a: 1}'>"),
        ("a filter in a trigger", '<a hx-trigger="click[ctrlKey]">'),
        ("a request to another host", '<img src="//cdn.example/x.png">'),
    ],
)
def test_each_rule_finds_what_it_forbids(what, planted):
    assert re.search(FORBIDDEN[what], planted, re.IGNORECASE)


def test_scripts_and_styles_ask_no_other_host_and_run_no_text():
    for path in SCRIPTS:
        text = path.read_text()
        assert not re.search(r"\beval\(|new Function|innerHTML|https?://|\.style\b", text), (
            path.name
        )
    for path in STYLES:
        assert not re.search(r"@import|url\(\s*['\"]?(https?:)?//", path.read_text()), path.name


def test_only_the_mark_is_yellow():
    yellow = re.compile(r"var\(--paint\)|#ffd60a|#ffdd2e", re.IGNORECASE)
    users = {path.name for path in [*TEMPLATES, *STYLES] if yellow.search(path.read_text())}
    assert users == {"tokens.css", "look.css"}
