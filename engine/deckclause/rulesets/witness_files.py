"""The file a person's readings of a book are kept in: opened, and written whole after every answer."""

from __future__ import annotations

from deckclause.rulesets.files import RuleFiles
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.witness import WitnessRecord, read_record, record_text, witness_path
from deckclause.rulesets.write_file import write_whole


def kept_record(files: RuleFiles, ruleset: str, witness: str) -> WitnessRecord | None:
    """Return what a person read of a book so far; None where there is nothing.

    Raises InputError where the file is at fault, or is another person's whose name is written alike.
    """
    path = witness_path(files, ruleset, witness)
    files.contents.pop(path, None)  # another window may have written it meanwhile
    if not path.is_file():
        return None
    record = read_record(files.content(path), files.name(path), ruleset, path.stem)
    if record.witness != witness:
        raise InputError.single(
            "--by", f"'{witness}' and '{record.witness}' share a file; write it as before"
        )
    return record


def opened_record(files: RuleFiles, ruleset: str, witness: str, printing: str) -> WitnessRecord:
    """Return a person's record of one printing, begun where there is none.

    Raises InputError where what was read before is from another printing.
    """
    kept = kept_record(files, ruleset, witness)
    if kept is not None and kept.printing != printing:
        raise InputError.single(
            "--printing",
            f"what {witness} read before is from '{kept.printing}'; another printing is another "
            f"book: use a name such as '{witness} ({printing})'",
        )
    return kept or WitnessRecord(witness, ruleset, printing, ())


def keep_record(files: RuleFiles, record: WitnessRecord) -> None:
    """Write a record: the file as it was, or as it is now, never a part. Raises InputError."""
    path = witness_path(files, record.ruleset, record.witness)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise InputError.single(str(path.parent), f"cannot be made ({fault.strerror})") from None
    write_whole(path, record_text(record))
    files.contents.pop(path, None)
