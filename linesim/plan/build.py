"""From a checked works and one of its policies to the plan of a run."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from linesim.cutting.knowing import unknown_sigma
from linesim.plan.begins import standing_as_now
from linesim.plan.columns import Rows
from linesim.plan.cuts import USUAL_WEAR_LIMIT_MM, CutFigures
from linesim.plan.figures import CutKey, cut_figures
from linesim.plan.joining import arrival_columns
from linesim.plan.levers import levered, setting_error_um
from linesim.plan.mishaps import broken_columns, heat_columns, is_gauged, own_breaking
from linesim.plan.mixing import MixTable, feature_mask
from linesim.plan.place_tables import Shapes
from linesim.plan.placing import shape_of
from linesim.plan.plan import Names, Plan
from linesim.plan.renewing import renewal_of
from linesim.plan.rules import RuleTable
from linesim.plan.staffing import staffing_of
from linesim.plan.stations import Stations
from linesim.plan.tables import NONE, UNLIMITED, Features, Kinds, Lines
from linesim.plan.testing import TestTable, with_tests
from linesim.plan.times import TimeTable
from linesim.quality.limits import (
    aim_mm,
    per_side,
    roughness_cap_um2,
    roughness_weights,
    scratch_cap_um2,
    size_cap_um2,
)
from linesim.works import digest
from linesim.works.carried import carried
from linesim.works.crib import Cutter
from linesim.works.features import Feature
from linesim.works.model import Line, Works
from linesim.works.policies import Policy

__all__ = ["Planner", "make_plan"]


def make_plan(works: Works, policy: str) -> Plan:
    """Everything that a run of a works under one policy needs.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str
        Name of one of its policies.

    Returns
    -------
    Plan

    Raises
    ------
    ScenarioError
        The policy is not known, or a cut cannot be made as described.
    """
    name = works.chosen_policy(policy)
    plan = _Builder(works, name, cut_figures(works)).build(digest(works))
    return levered(standing_as_now(works, plan), works.policies[name])


class Planner:
    """Makes plans of one works under many policies; all that they share is made once.

    Parameters
    ----------
    works : Works
        The checked scenario, with one policy at least.

    Raises
    ------
    ScenarioError
        A cut cannot be made as described.
    """

    def __init__(self, works: Works) -> None:
        builder = _Builder(works, works.todays_policy, cut_figures(works))
        self._plan = standing_as_now(works, builder.build(""))
        self._times = builder.times
        self._asked = builder.rules.asked

    def plan(self, name: str, policy: Policy) -> Plan:
        """The plan under a policy, which need not be one of the works' own.

        Parameters
        ----------
        name : str
            What to call the policy.
        policy : Policy
            Checked.

        Returns
        -------
        Plan
            Runs as the one that `make_plan` would make; times may stand in another order, and as no file says this
            policy, there is no digest.
        """
        rules = RuleTable(policy, self._times.copy())
        numbers = [rules.number(*asked) for asked in self._asked]
        plan = replace(
            self._plan,
            policy=name,
            times=rules.times.table(),
            mounts=self._plan.mounts._replace(rule=np.array(numbers, dtype=np.int64)),
            rules=rules.rows.table(),
            own_rules=tuple(rules.own),
            group_past=math.inf if policy.group_past is None else policy.group_past,
        )
        return levered(plan, policy)


class _Builder:
    """Goes through the works once, line by line, and fills the tables."""

    def __init__(self, works: Works, policy: str, figures: dict[CutKey, CutFigures]) -> None:
        self.works = works
        self.policy = policy
        self.times = TimeTable()
        self.rules = RuleTable(works.policies[policy], self.times)
        self.stations = Stations(works, figures, self.times, self.rules)
        self.lines, self.features, self.kinds = Rows(Lines), Rows(Features), Rows(Kinds)
        self.shapes = Rows(Shapes)
        self.tests = TestTable(works, self.times)
        self.mixing = MixTable(works, self.times)
        self.feature_names: list[str] = []
        self.first_figures: dict[str, CutFigures] = {}
        """Of each kind of cutter, the figures of the first cut that uses it: they say how it wears and breaks."""
        for key, figure in figures.items():
            line, operation, stroke, cut = key
            kind = works.lines[line].operations[operation].strokes[stroke].cuts[cut].cutter
            self.first_figures.setdefault(kind, figure)

    def build(self, digest_of_works: str) -> Plan:
        """The plan."""
        for name, cutter in self.works.cutters.items():
            self._add_kind(name, cutter)
        for name, line in self.works.lines.items():
            self._add_line(name, line)
        works, stations = self.works, self.stations
        group_past = works.policies[self.policy].group_past
        return Plan(
            works_name=works.name,
            policy=self.policy,
            digest=digest_of_works,
            names=self._names(),
            times=self.times.table(),
            lines=self.lines.table(),
            operations=with_tests(stations.operations.table(), self.tests.rows.table()),
            machines=stations.machines.table(),
            mounts=stations.mounts.table(),
            kind_of_slot=np.array(stations.kind_of_slot, dtype=np.int64),
            strokes=stations.strokes.table(),
            cuts=stations.cuts.table(),
            kinds=self.kinds.table(),
            features=self.features.table(),
            disturbances=stations.disturbances.table(),
            gauges=stations.gauges.rows.table(),
            first_pieces=stations.first_pieces.table(),
            rules=self.rules.rows.table(),
            own_rules=tuple(self.rules.own),
            grinders=works.crib.grinders,
            group_past=math.inf if group_past is None else group_past,
            shift_min=works.calendar.shift,
            warm_up_min=works.run.warm_up,
            length_min=works.run.length,
            shapes=self.shapes.table(),
            tests=self.tests.rows.table(),
            test_terms=self.tests.terms.table(),
            **stations.placing.tables(),
            **stations.shape_tables(),
            **self.mixing.tables(),
            **staffing_of(works),
        )

    def _names(self) -> Names:
        stations = self.stations
        return Names(
            lines=tuple(self.works.lines),
            operations=tuple(stations.operation_names),
            machines=tuple(stations.machine_names),
            strokes=tuple(stations.stroke_names),
            cuts=tuple(stations.cut_names),
            kinds=tuple(self.works.cutters),
            features=tuple(self.feature_names),
            gauges=tuple(stations.gauges.names),
            pools=tuple(self.works.people),
            tests=tuple(self.tests.names),
            part_types=tuple(self.mixing.names),
        )

    # --- cutters -------------------------------------------------------------------------------------------------

    def _add_kind(self, name: str, cutter: Cutter) -> None:
        figures = self.first_figures.get(name)
        way, uses = renewal_of(cutter)
        reground, dressed, times = cutter.renewal.reground, cutter.renewal.dressed, self.times
        wheel_stock = None if dressed is None else dressed.stock
        breaking = (figures.break_shape, figures.break_scale) if figures else own_breaking(cutter)
        own_limit = USUAL_WEAR_LIMIT_MM if cutter.wear_limit is None else cutter.wear_limit
        self.kinds.add(
            sets=cutter.sets,
            renewal=int(way),
            change_time=times.add(cutter.change),
            replace_time=times.add(cutter.change if cutter.replace is None else cutter.replace),
            broken_time=times.add(cutter.extra_when_broken),
            lead_time=times.add(cutter.lead_time),
            regrind_time=NONE if reground is None else times.add(reground.minutes),
            uses=uses,
            stock_mm=wheel_stock or (0.0 if reground is None else reground.stock),
            margin_mm=0.0 if reground is None else reground.margin,
            per_wear_land=0.0 if reground is None else reground.per_wear_land,
            reground_life=1.0 if reground is None else reground.life,
            by_machine=int(dressed is not None and dressed.by_machine),
            life_cv=figures.life_cv if figures else cutter.life_cv or 0.0,
            break_shape=breaking[0],
            break_scale=breaking[1],
            wear_limit_mm=figures.wear_limit_mm if figures else own_limit,
            wear_b=figures.wear_b if figures else 0.0,
            wear_tau=figures.wear_tau if figures else 1.0,
            wear_gamma=figures.wear_gamma if figures else 1.0,
            **broken_columns(cutter, times),
            dress_mm=0.0 if dressed is None or wheel_stock is None else dressed.takes / 1000.0,
            wheel_mm_min=figures.additions.wheel_radius_um_min / 1000.0 if figures else 0.0,
            mounted_sigma=figures.mounted_sigma if figures else 0.0,
            known_sigma=unknown_sigma(cutter.known_within),
            setting_error_um=setting_error_um(cutter),
            setting_bias_um=cutter.setting.bias,
            setting_step_um=cutter.setting.step,
            past_limit=0.0 if reground is None else reground.past_limit,
            preset_time=times.add(cutter.presetting) if cutter.is_preset else NONE,
        )

    # --- lines ---------------------------------------------------------------------------------------------------

    def _add_line(self, name: str, line: Line) -> None:
        number = len(self.lines)
        first_feature, first_operation = len(self.features), len(self.stations.operations)
        feature_number = {feature: first_feature + index for index, feature in enumerate(line.features)}
        first_place, carrying = 0, carried(line)
        for feature_name, feature in line.features.items():
            self.feature_names.append(feature_name)
            beside = {"types": feature_mask(line, feature_name), "is_gauged": is_gauged(line, feature_name)}
            self._add_feature(feature, first_place, feature_name in carrying, beside)
            first_place += feature.places
        self.stations.add_line(name, number, line, feature_number)
        self.tests.add_line(line, feature_number, first_operation)
        arrivals = line.casting.arrivals
        self.lines.add(
            first_operation=first_operation,
            end_operation=len(self.stations.operations),
            first_feature=first_feature,
            end_feature=len(self.features),
            turn_away=int(arrivals is not None and arrivals.when_full == "turn away"),
            **arrival_columns(self.works, name, line, self.times),
            pallets=UNLIMITED if line.pallets is None else line.pallets,
            **heat_columns(line.casting.heats, self.works.calendar.minutes_per()["day"]),
            first_failure=len(self.tests.rows) - len(line.later.field),
            end_failure=len(self.tests.rows),
            **self.mixing.add_line(number, line),
        )

    def _add_feature(self, feature: Feature, first_place: int, carries: bool, beside: dict[str, int]) -> None:
        low_um, high_um = -math.inf, math.inf
        if feature.size is not None:
            low_um, high_um = per_side(feature, feature.size.limits, aim_mm(feature))
        scratch = feature.scratch
        smooth_weight, rough_weight = roughness_weights(feature)
        self.shapes.add(**shape_of(feature))
        self.features.add(
            first_place=first_place,
            places=feature.places,
            spread_um=feature.as_cast.spread,
            cast_roughness_um=feature.as_cast.roughness,
            low_um=low_um,
            high_um=high_um,
            roughness_limit_um=math.inf if feature.roughness is None else feature.roughness.high,
            scratch_limit_um=math.inf if scratch is None else scratch.limit,
            size_cap_um2=size_cap_um2(feature),
            roughness_cap_um2=roughness_cap_um2(feature),
            scratch_cap_um2=scratch_cap_um2(feature),
            move_chance=0.0 if scratch is None else scratch.chance_per_move,
            move_scratch_um=0.0 if scratch is None else scratch.depth,
            move_scratch_cv=0.0 if scratch is None else scratch.depth_cv,
            roughness_low_um=0.0 if feature.roughness is None else feature.roughness.low,
            roughness_aim_um=0.0 if feature.roughness is None else feature.roughness.best,
            smooth_weight=smooth_weight,
            rough_weight=rough_weight,
            carries=int(carries),
            **beside,
        )
