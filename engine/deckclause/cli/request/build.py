"""Build the documents of a request; replace only what an earlier build wrote and nobody changed."""

from __future__ import annotations

import argparse
import json
import os
import sys
from hashlib import sha256
from pathlib import Path
from typing import Any

from deckclause.cli.shared import open_catalogue
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.write_file import write_together

DRAFT = 1
"""Exit status of a build whose request has empty fields."""


def build_step(options: argparse.Namespace) -> int:
    """Write the documents; return 0 for a complete request, 1 for a draft. Raises InputError."""
    from deckclause.answers.request.build import request_answer
    from deckclause.report.document.write import document_bytes, lacks_drawings
    from deckclause.report.request.document import request_document, request_drawings
    from deckclause.variance.request.build import read_request
    from deckclause.variance.request.check import check_request

    catalogue = open_catalogue(options)
    request = read_request(catalogue, options.file)
    checked = check_request(request)
    if checked.against:
        raise InputError.single(str(options.file), "is not built: " + "; ".join(checked.against))
    formats = options.format or ["docx", "pdf", "html"]
    stem = options.file.stem
    built = _Folder(options.output, stem, replace=options.replace)
    built.refuse([f"{stem}.{f}" for f in formats])
    answer = request_answer(request, checked)
    document = request_document(answer)
    contents = {f"{stem}.{f}": document_bytes(document, f) for f in formats}
    for number, drawing in enumerate(request_drawings(answer), 1):
        contents[f"{stem}-drawing-{number}.svg"] = drawing.svg.encode()
    built.write(contents)
    for file_format in formats:
        lack = lacks_drawings(file_format)
        if lack:
            print(f"{stem}.{file_format}: {lack}", file=sys.stderr)
    for comment in checked.comments:
        print(comment, file=sys.stderr)
    if checked.is_complete:
        print("complete: nothing is missing. The official decides. (exit status 0)")
        return 0
    count = len(checked.missing)
    fields = f"{count} field is empty" if count == 1 else f"{count} fields are empty"
    said = (
        f"{fields} and shown as not written" if count else "comments may have cut an answer short"
    )
    print(f"a draft: {said}; deckclause request check lists them. (exit status {DRAFT})")
    return DRAFT


class _Folder:
    """The folder of a build, with a list of what earlier builds wrote there."""

    def __init__(self, folder: Path, stem: str, *, replace: bool) -> None:
        self.folder = folder
        self.list = folder / f"{stem}.built.json"
        self.replace = replace
        self.known = self._known()

    def _known(self) -> dict[str, str]:
        """Return name and sha256 of each file an earlier build wrote; nothing where none is told."""
        try:
            kept: Any = json.loads(self.list.read_text(encoding="utf-8"))
            return {str(name): str(digest) for name, digest in kept["files"].items()}
        except (OSError, ValueError, KeyError, AttributeError, TypeError):
            return {}

    def refuse(self, names: list[str]) -> None:
        """Raise InputError for every file that stands there and may not be replaced."""
        for name in names:
            path = self.folder / name
            if os.path.lexists(path):
                self._may_replace(path)

    def _may_replace(self, path: Path) -> None:
        if not self.replace:
            raise InputError.single(
                str(path),
                "is already there and is left as it is; name another folder, or replace what an "
                "earlier build wrote with --replace",
            )
        digest = self.known.get(path.name)
        if digest is None:
            raise InputError.single(str(path), "was not written by a build here; move it away")
        if path.is_symlink() or not path.is_file() or _digest(path.read_bytes()) != digest:
            raise InputError.single(
                str(path), "was changed since it was built and is left as it is; move it away"
            )

    def write(self, contents: dict[str, bytes]) -> None:
        """Write the files; none is touched where one may not be, or the disk has no room.

        Raises InputError.
        """
        self.refuse(list(contents))
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
        except OSError as fault:
            raise InputError.single(
                str(self.folder), f"cannot be written to ({fault.strerror})"
            ) from None
        self.known.update((name, _digest(content)) for name, content in contents.items())
        told = {"says": "What deckclause request build wrote here.", "files": self.known}
        files: dict[Path, str | bytes] = {self.folder / n: c for n, c in contents.items()}
        write_together({**files, self.list: json.dumps(told, indent=1) + "\n"})
        for path in files:
            print(f"wrote {path}", file=sys.stderr)


def _digest(content: bytes) -> str:
    return sha256(content).hexdigest()
