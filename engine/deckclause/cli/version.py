"""Which engine and which rules these are: the version, and a digest of every rule set."""

from __future__ import annotations

from collections.abc import Iterator

import deckclause


def version_lines() -> Iterator[str]:
    """Yield the engine's version, then each rule set with the digest a result's receipt names.

    The vocabulary, the register and each amendment follow, by the digest of their files. Where the
    rules cannot be read that is said instead: the version is told in any case.
    """
    from deckclause.evaluate.catalogue import Catalogue
    from deckclause.rulesets.problems import InputError

    yield f"deckclause {deckclause.__version__}"
    try:
        catalogue = Catalogue.open()
        files = catalogue.files
        known = {name: catalogue.ruleset(name).digest for name in files.rulesets}
        known["vocabulary"] = catalogue.vocabulary.digest
        if files.register_paths():
            known["register"] = files.digest_of(*files.register_paths())
        known.update((name, files.digest_of(path)) for name, path in files.amendments.items())
    except InputError as fault:
        yield f"the rules cannot be read: {fault.problems[0]}"
        return
    width = max(map(len, known))
    over = f", over those in {files.beneath}" if files.beneath is not None else ""
    yield f"rules in {files.root}{over}"
    for name, digest in known.items():
        yield f"  {name:<{width}}  {digest}"
