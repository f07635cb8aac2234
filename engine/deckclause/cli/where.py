"""Say where rule sets part on a topic: every region of the input space, and what drives it there."""

from __future__ import annotations

import argparse
from pathlib import Path

from deckclause.cli.shared import (
    add_rules_options,
    open_catalogue,
    rule_set_names,
    tell_real_places,
    terminal_width,
)
from deckclause.cli.topics import wanted_topics
from deckclause.rulesets.problems import InputError


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("topic", metavar="TOPIC", help="the topic, as in rules/topics.yaml")
    parser.add_argument(
        "--under",
        action="append",
        default=[],
        metavar="RULESET",
        help="an edition or guide by id, Place@date, all-editions or all-guides; two or more",
    )
    parser.add_argument(
        "--given",
        action="append",
        default=[],
        metavar="QUANTITY=VALUE",
        help="what is known: fasteners.kind=lag_screw, joists.span='8 ft..12 ft'; repeat for more",
    )
    parser.add_argument("--format", choices=["text", "json"], default="text", help="how to print")
    parser.add_argument("--chart", metavar="FILE", type=Path, help="draw an SVG chart (new file)")
    parser.add_argument(
        "--axes",
        nargs=2,
        metavar=("ACROSS", "UP"),
        help="the two measures the chart is drawn over",
    )
    parser.add_argument("--si", action="store_true", help="print in SI units")
    add_rules_options(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command; 0 where they agree everywhere, 1 where they part."""
    from deckclause.compare.given import read_given
    from deckclause.compare.regions import DriverFinder, find_regions
    from deckclause.report.rule_sets.regions_text import RegionsText, regions_json

    catalogue = open_catalogue(options)
    (topic,) = wanted_topics(catalogue, [options.topic], [])
    names = rule_set_names(catalogue, options.under)
    tell_real_places(catalogue, names)
    if len(names) < 2:
        raise InputError.single("--under", "two rule sets or more are needed")
    given = read_given(options.given, catalogue.vocabulary)
    regions = find_regions(catalogue, topic, names, given)
    text = RegionsText(
        regions,
        DriverFinder(catalogue, regions),
        catalogue.vocabulary,
        width=terminal_width(),
        si=options.si,
    )
    if options.chart:
        _chart(options, text)
    print(regions_json(text) if options.format == "json" else "\n".join(text.lines()))
    return 1 if regions.parting else 0


def _chart(options: argparse.Namespace, text: object) -> None:
    from deckclause.report.rule_sets.regions_chart import regions_chart
    from deckclause.report.rule_sets.regions_text import RegionsText
    from deckclause.rulesets.write_file import write_new

    assert isinstance(text, RegionsText)
    if not options.axes:
        raise InputError.single("--chart", "say over which two measures, with --axes ACROSS UP")
    across, up = options.axes
    chart = regions_chart(text.regions, text.vocabulary, across, up, si=options.si)
    write_new(options.chart, chart)
