"""The rule files on disk: where they are, what they hold, their digests. Reads no YAML."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct, field

from deckclause.rulesets.problems import InputError, suggestion

if TYPE_CHECKING:
    from deckclause.rulesets.yaml_tree import Tree

ENVIRONMENT_NAME = "DECKCLAUSE_RULES"
VOCABULARY_FILE, REGISTER_FILE = "quantities.yaml", "register.yaml"
NO_RULES = (
    "is not a rules folder (it has neither quantities.yaml nor register.yaml); "
    "`deckclause init FOLDER` lays one out"
)
HOLDS_TOGETHER = "holds-together"
"""The one rule set that is no book: whether a deck's parts carry each other, in coherence.yaml.

What practice asks besides, and no table was made for, is its second file, practice.yaml.
"""
_CARRIED = re.compile(rb"""carried["']?[ ]*:[ ]*["']?([a-z0-9][a-z0-9-]*)""")
"""Begins with plain letters, which is ten times faster to look for than a word's edge."""


def default_root() -> Path:
    """Find the rules folder: the environment's, the wheel's own, or the checkout's.

    Raises InputError where there is none.
    """
    named = os.environ.get(ENVIRONMENT_NAME)
    if named:
        if not is_rules_folder(Path(named)):
            raise InputError.single(named, NO_RULES)
        return Path(named)
    return shipped_root()


def shipped_root() -> Path:
    """Find the rules that come with the program: the wheel's own, or the checkout's.

    Raises InputError where there are none.
    """
    package = Path(__file__).resolve().parents[1]
    candidates = [package / "rules", package.parents[1] / "rules"]
    for candidate in candidates:
        if (candidate / VOCABULARY_FILE).is_file():
            return candidate
    raise InputError.single(str(candidates[-1]), "holds no rules (quantities.yaml is missing)")


def is_rules_folder(root: Path) -> bool:
    """Tell whether a folder holds rules: all of them, or a place's own over the shipped ones."""
    return (root / VOCABULARY_FILE).is_file() or stands_over(root)


def stands_over(root: Path) -> bool:
    """Tell whether a folder holds a place's own rules, to stand over the shipped ones.

    It has a register and no vocabulary of its own.
    """
    return (root / REGISTER_FILE).is_file() and not (root / VOCABULARY_FILE).is_file()


def digest(*parts: bytes | str) -> str:
    """Return a sha256 over the parts, each with its length so that none can run into the next."""
    from hashlib import sha256

    total = sha256()
    for part in parts:
        content = part.encode() if isinstance(part, str) else part
        total.update(len(content).to_bytes(8, "big"))
        total.update(content)
    return total.hexdigest()


class RuleFiles(Struct, frozen=True):
    """The files of one rules folder, by what they are.

    A folder of a place's own stands over the shipped rules, `beneath`: what it does not hold itself
    is read there.
    """

    root: Path
    rulesets: dict[str, tuple[Path, ...]]
    amendments: dict[str, Path]
    contents: dict[Path, bytes]
    digests: dict[str, str] = field(default_factory=dict)
    beneath: Path | None = None
    amendment_trees: dict[tuple[str, bytes], Tree] = field(default_factory=dict)
    """Amendments read and found well formed, by file and content; read for many places, never changed."""

    def found(self, name: str) -> Path:
        """Return the file or folder of this name: its own where there is one, else the one beneath."""
        own = self.root / name
        if self.beneath is None or own.exists():
            return own
        return self.beneath / name

    def is_own(self, path: Path) -> bool:
        """Tell whether a file is of this folder itself, not of the rules beneath."""
        return path.is_relative_to(self.root)

    def of_kind(self, folder: str) -> tuple[str, ...]:
        """Return the rule sets of one folder: `editions`, `guides` or `reports`."""
        return tuple(
            n
            for n, p in self.rulesets.items()
            if folder in (p[0].parent.name, p[0].parent.parent.name)
        )

    def content(self, path: Path) -> bytes:
        """Return a file's bytes, read once."""
        from deckclause.rulesets.read_file import read_bytes

        if path not in self.contents:
            self.contents[path] = read_bytes(path)
        return self.contents[path]

    def vocabulary_paths(self) -> tuple[Path, ...]:
        """Return the vocabulary's files; sources are this folder's own."""
        names = (VOCABULARY_FILE, "topics.yaml")
        return (*(self.found(name) for name in names), self.root / "sources.yaml")

    def sources_paths(self) -> tuple[Path, ...]:
        """Return the files that list sources, those beneath first."""
        return self._stacked("sources.yaml")

    def register_paths(self) -> tuple[Path, ...]:
        """Return the registers of places there are, the one beneath first."""
        return tuple(path for path in self._stacked(REGISTER_FILE) if path.is_file())

    def _stacked(self, name: str) -> tuple[Path, ...]:
        own = self.root / name
        if self.beneath is None:
            return (own,)
        return (self.beneath / name, *([own] if self._holds(own) else []))

    def _holds(self, path: Path) -> bool:
        return path in self.contents or path.is_file()

    @property
    def asks_holds_together(self) -> bool:
        """Whether this rules folder asks of every deck if its parts carry each other."""
        return self._coherence.is_file()

    @property
    def _coherence(self) -> Path:
        return self.found("coherence.yaml")

    @property
    def register_path(self) -> Path:
        """The register of places, this folder's own."""
        return self.root / REGISTER_FILE

    def name(self, path: Path) -> str:
        """Name a file as a person would: those of rules/ from there on, others by their path.

        Those beneath a place's own folder begin with shipped/.
        """
        if self.beneath is not None and path.is_relative_to(self.beneath):
            return str(Path("shipped") / path.relative_to(self.beneath))
        if self.root.name == "rules" and path.is_relative_to(self.root):
            return str(Path("rules") / path.relative_to(self.root))
        return str(path)

    def digest_of(self, *paths: Path) -> str:
        """Return the digest of files' names and contents."""
        parts: list[bytes | str] = []
        for path in paths:
            inside = path.is_relative_to(self.root)
            parts += [str(path.relative_to(self.root) if inside else path), self.content(path)]
        return digest(*parts)

    def carried_from(self, name: str) -> tuple[str, ...]:
        """Return the rule sets an edition's or guide's files name as carried from, found by text.

        Without reading YAML: a word too many only makes what is kept depend on a file too many.
        The reader refuses a carried line that is written so that this does not find it.
        """
        found = {
            match.decode("ascii")
            for path in self.ruleset_paths(name)
            for match in _CARRIED.findall(self.content(path))
        }
        return tuple(sorted(n for n in found if n in self.rulesets and n != name))

    def text_digest(self, name: str) -> str:
        """Return a digest of all that an edition or guide is read from, carried text included.

        Raises InputError for an unknown name.
        """
        if name not in self.digests:
            self.digests[name] = ""  # rule sets that carry in a circle: the reader says so
            own = self.digest_of(*self.ruleset_paths(name), *self.witness_paths(name))
            self.digests[name] = digest(own, *map(self.text_digest, self.carried_from(name)))
        return self.digests[name]

    def witness_paths(self, name: str) -> tuple[Path, ...]:
        """Return the files of those who read an edition or guide in the book itself."""
        roots = [root for root in (self.beneath, self.root) if root is not None]
        return tuple(p for root in roots for p in sorted((root / "witness" / name).glob("*.yaml")))

    def ruleset_paths(self, name: str) -> tuple[Path, ...]:
        """Return the files of an edition or guide. Raises InputError for an unknown name."""
        if name == HOLDS_TOGETHER and self.asks_holds_together:
            practice = self.found("practice.yaml")
            return (self._coherence, *([practice] if self._holds(practice) else []))
        if name not in self.rulesets:
            near = suggestion(name, self.rulesets)
            raise InputError.single(name, f"there is no edition or guide of this name.{near}")
        return self.rulesets[name]

    def amendment_path(self, name: str) -> Path:
        """Return the file of an amendment. Raises InputError for an unknown name."""
        if name not in self.amendments:
            near = suggestion(name, self.amendments)
            raise InputError.single(name, f"there is no amendment of this name.{near}")
        return self.amendments[name]


def find_files(root: Path) -> RuleFiles:
    """List the rule files under `root`.

    A folder of files is one rule set; its head is `ruleset.yaml`. A place's own folder stands over
    the shipped rules; what it names as they do is its own.
    """
    if not stands_over(root):
        return RuleFiles(root, *_listed(root), {})
    beneath = shipped_root()
    under, over = _listed(beneath), _listed(root)
    return RuleFiles(
        root, {**under[0], **over[0]}, {**under[1], **over[1]}, {}, beneath=beneath
    )  # fmt: skip


def _listed(root: Path) -> tuple[dict[str, tuple[Path, ...]], dict[str, Path]]:
    """Return the rule sets and the amendments of one folder."""
    rulesets: dict[str, tuple[Path, ...]] = {}
    for kind in ("editions", "guides", "reports"):
        folder = root / kind
        for entry in sorted(folder.iterdir()) if folder.is_dir() else []:
            if entry.is_dir():
                parts = sorted(p for p in entry.glob("*.yaml") if p.name != "ruleset.yaml")
                rulesets[entry.name] = (entry / "ruleset.yaml", *parts)
            elif entry.suffix == ".yaml":
                rulesets[entry.stem] = (entry,)
    folder = root / "amendments"
    amendments = {p.stem: p for p in sorted(folder.glob("*.yaml"))} if folder.is_dir() else {}
    return rulesets, amendments
