"""A difference of two rule sets as one HTML page, made from the Markdown report."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from deckclause.compare.felt_figures import Felt
from deckclause.compare.rule_diff.clauses import RuleDiff
from deckclause.report.rule_diff.markdown import report_lines
from deckclause.report.rule_diff.text import cells_of
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.vocabulary import Vocabulary

STYLE = """
body { font: 16px/1.5 Georgia, serif; max-width: 50rem; margin: 2rem auto; padding: 0 1rem; color: #111; background: #fff; }
h1, h2, h3 { line-height: 1.2; } h2 { border-bottom: 1px solid #888; margin-top: 2.5rem; }
table { border-collapse: collapse; margin: 0.5rem 0 1rem; width: 100%; }
th, td { border: 1px solid #888; padding: 0.25rem 0.5rem; text-align: left; vertical-align: top; }
th { background: #eee; }
@media print { body { margin: 0; max-width: none; } tr, h3 { break-inside: avoid; } }
""".strip()


def rule_diff_html(
    diff: RuleDiff, vocabulary: Vocabulary, felt: Felt | None = None, example: str = ""
) -> str:
    """Write a difference as a page that stands alone and prints well."""
    title = escape(
        f"What changes from {rule_set_title(diff.one.name)} to {rule_set_title(diff.two.name)}"
    )
    body = "\n".join(_blocks(list(report_lines(diff, vocabulary, felt, example))))
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{title}</title>\n<style>\n{STYLE}\n</style>\n</head>\n"
        f"<body>\n<main>\n{body}\n</main>\n</body>\n</html>\n"
    )


def _blocks(lines: list[str]) -> Iterator[str]:
    i = 0
    while i < len(lines):
        line = lines[i]
        end = i + 1
        if line.startswith("|"):
            while end < len(lines) and lines[end].startswith("|"):
                end += 1
            yield from _table(lines[i:end])
        elif line.startswith("- "):
            while end < len(lines) and lines[end].startswith("- "):
                end += 1
            items = "".join(f"<li>{_inline(item[2:])}</li>" for item in lines[i:end])
            yield f"<ul>{items}</ul>"
        elif line.startswith("#"):
            level = len(line) - len(line.lstrip("#"))
            yield f"<h{level}>{_inline(line.lstrip('# '))}</h{level}>"
        elif line:
            yield f"<p>{_inline(line)}</p>"
        i = end


def _table(lines: list[str]) -> Iterator[str]:
    rows = [cells_of(line) for line in lines if not line.startswith("|---")]
    head = "".join(f'<th scope="col">{_inline(cell)}</th>' for cell in rows[0])
    yield f"<table>\n<thead><tr>{head}</tr></thead>\n<tbody>"
    for row in rows[1:]:
        first, *rest = row
        cells = "".join(f"<td>{_inline(cell)}</td>" for cell in rest)
        yield f'<tr><th scope="row">{_inline(first)}</th>{cells}</tr>'
    yield "</tbody>\n</table>"


def _inline(text: str) -> str:
    pieces = escape(text).split("**")
    joined = "".join(f"<strong>{p}</strong>" if i % 2 else p for i, p in enumerate(pieces))
    quoted = joined.split("`")
    return "".join(f"<code>{p}</code>" if i % 2 else p for i, p in enumerate(quoted))
