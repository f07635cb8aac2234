"""Placement of fasteners on two overlapping boards, solved exactly."""

from deckclause.placement.answers import Ask, Conflict, Conflicts, Extreme, Link, Solution
from deckclause.placement.boards import Section, SectionError, board_distances
from deckclause.placement.conflicts import all_conflicts
from deckclause.placement.constraints import Distance, fixed
from deckclause.placement.layout import Layout, lay_out
from deckclause.placement.layout_check import check_layout
from deckclause.placement.ledger_line import EndLimit, LayoutError, LedgerLine, Run, SpacingField
from deckclause.placement.proof import ProofError, check_conflict, check_extreme, check_solution
from deckclause.placement.schedule import schedule
from deckclause.placement.solve import solve
from deckclause.placement.steps import Excluded, StepRow, step_table
from deckclause.placement.sums import conflict_text, extreme_text
from deckclause.placement.zones import permitted_zones, tidy_rows, zone_on

__all__ = [
    "Ask",
    "Conflict",
    "Conflicts",
    "Distance",
    "EndLimit",
    "Excluded",
    "Extreme",
    "Layout",
    "LayoutError",
    "LedgerLine",
    "Link",
    "ProofError",
    "Run",
    "Section",
    "SectionError",
    "Solution",
    "SpacingField",
    "StepRow",
    "all_conflicts",
    "board_distances",
    "check_conflict",
    "check_extreme",
    "check_layout",
    "check_solution",
    "conflict_text",
    "extreme_text",
    "fixed",
    "lay_out",
    "permitted_zones",
    "schedule",
    "solve",
    "step_table",
    "tidy_rows",
    "zone_on",
]
