"""Cutter sets: what is changed in one go, how it is made sharp again, and the crib that looks after it."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import BeforeValidator, Discriminator, Field, Tag, model_validator

from linesim.units import Angle, Length, Money, MoneyPerHour, Number, Small, Whole
from linesim.works.base import AlsoTaken, Marks, Strict, text_or_other
from linesim.works.durations import Duration
from linesim.works.mishaps import Broken, Life, LifeEntry
from linesim.works.setting import EdgeSetting
from linesim.works.wheel import Diamond, Wheel

__all__ = ["Bought", "Breaking", "Crib", "Cutter", "Dressed", "Indexed", "Reground", "Renewal"]


class Reground(Strict):
    """Ground sharp in the crib, as long as there is metal to grind."""

    stock: Length = Field(gt=0)
    """Metal that may be ground away over the life of a set, mm."""
    margin: Length = Field(default=0.1, ge=0)
    """Clean-up taken beyond the wear land each time, mm."""
    per_wear_land: Number = Field(default=1.0, gt=0, le=10)
    """Metal ground away per millimetre of wear land (1 on the tooth face; tan of the clearance angle on the flank)."""
    past_limit: Number = Field(default=1.0, ge=0, le=2)
    """Metal ground away beyond that for each millimetre of land past the wear limit, as chips and cracks go deeper than
    the land; 1 is assumed."""
    minutes: Duration
    """Time on the tool grinder."""
    cost: Money = Field(default=0.0, ge=0)
    """Wheel and sundries for one regrind (the grinder's time is charged apart). In the scenario's currency."""
    life: Number = Field(default=1.0, gt=0, le=1)
    """Life of a reground edge as a share of a new one's."""


class Indexed(Strict):
    """Turned to its next edge where it is."""

    edges: Whole = Field(ge=1, le=1000)
    """Edges of a set, the first included."""
    cost: Money = Field(default=0.0, ge=0)
    """Sundries for one indexing. In the scenario's currency."""


class Dressed(Strict):
    """A wheel or stone dressed where it is."""

    dressings: Whole | None = Field(default=None, ge=1, le=1_000_000)
    """Dressings until the wheel or the stones are used up; give this or stock."""
    stock: Length | None = Field(default=None, gt=0)
    """Wheel that may be used up, mm of radius; each dressing takes what has worn and what it takes beyond."""
    takes: Small = Field(default=30.0, gt=0)
    """Wheel that a dressing takes beyond what has worn, µm of radius; 20 to 40 are usual (from memory)."""
    cost: Money = Field(default=0.0, ge=0)
    """Wear of the dresser and the wheel, sundries, for one dressing. In the scenario's currency."""
    by_machine: bool = False
    """The machine dresses by itself, so that no setter is called for it."""
    diamond: Diamond | None = None
    """The diamond that dresses it and how it is fed, for the card at the machine; needs the cutter's diameter."""

    @property
    def times(self) -> int:
        """Dressings until it is used up; of a wheel with a stock those that it stands if nothing wears in between."""
        return self.dressings if self.dressings is not None else int(1000.0 * float(self.stock or 0.0) / self.takes)

    @model_validator(mode="after")
    def _one_end(self) -> Dressed:
        if (self.dressings is None) == (self.stock is None):
            answer = "neither" if self.dressings is None else "both"
            raise ValueError(f"give either dressings or the stock of the wheel; found {answer}")
        return self


class Bought(Strict):
    """Never made sharp again: a new one each time."""


class Renewal(Strict):
    """How a dull set becomes sharp: exactly one of the ways."""

    expected: ClassVar[str] = "a way such as {bought: {}} or {indexed: {edges: 8}}"
    alternatives: ClassVar[frozenset[str]] = frozenset({"reground", "indexed", "dressed", "bought"})

    reground: Reground | None = None
    """Ground sharp in the crib."""
    indexed: Indexed | None = None
    """Turned to its next edge where it is."""
    dressed: Dressed | None = None
    """Dressed where it is."""
    bought: Bought | None = None
    """A new one each time."""

    @model_validator(mode="after")
    def _one_way(self) -> Renewal:
        named = [name for name in type(self).model_fields if getattr(self, name) is not None]
        if len(named) != 1:
            answer = " and ".join(named) or "none"
            raise ValueError(f"name exactly one of reground, indexed, dressed, bought; found {answer}")
        return self


class Breaking(Strict):
    """The life share at which an edge breaks: Weibull."""

    shape: Number = Field(gt=0, le=50)
    """Weibull shape; above 1 the danger rises with wear."""
    scale: Number = Field(gt=0, le=1000)
    """63.2 % point, as a life share."""


def _never(value: object) -> object:
    """The word "never" stands for no breaking at all."""
    return None if value == "never" else value


_ByGradeOrOwn = Annotated[
    Annotated[Breaking, Tag("other")] | Annotated[Literal["by grade"], Tag("text")], Discriminator(text_or_other)
]


class Cutter(Strict):
    """A cutter set: the blades, the face mill, the reamer, the stones, the wheel changed in one go for one cut."""

    about: str = ""
    """Remarks, for people."""
    grade: str | None = None
    """Cutter grade or abrasive, as the handbook names it; gives the wear and life coefficients."""
    diameter: Length | None = Field(default=None, gt=0)
    """Cutting diameter, mm; a bore's own diameter unless given."""
    teeth: Whole = Field(default=1, ge=1, le=1000)
    """Teeth or blades that cut at the same time in one place."""
    lead_angle: Angle = Field(default=90.0, gt=0, le=90)
    """Angle κ between the edge and the direction of feed, degrees."""
    clearance_angle: Angle | None = Field(default=None, gt=0, lt=45)
    """Clearance angle α, degrees; the grade's usual one unless given."""
    nose_radius: Length | None = Field(default=None, gt=0)
    """Radius of the nose, mm."""
    seat: Literal["pressed", "ground", "cartridge", "set one by one"] | None = None
    """How the inserts of a mill are seated: gives its run-out (50, 30, 10, 5 µm) and the tilt of its lands."""
    run_out: Small | None = Field(default=None, ge=0, le=1000)
    """Axial run-out of all teeth of the mounted mill (TIR), µm; by seat, else that of cartridges, unless given."""
    land: Length | None = Field(default=None, gt=0, le=20)
    """Parallel land (wiper) of a mill's inserts, mm; none unless given."""
    edge_radius: Small | None = Field(default=None, ge=0, le=500)
    """Radius of the sharp cutting edge, µm: thinner chips are rubbed and not cut; the grade's unless given. Where it is
    given, turning and boring at a fine feed leave the ridge of such chips (Brammertz)."""
    sets: Whole = Field(default=2, ge=0, le=10_000)
    """Sets in circulation, the mounted ones included."""
    price: Money = Field(default=0.0, ge=0)
    """Price of a new set. In the scenario's currency."""
    lead_time: Duration = Field(default=0.0, validate_default=True)
    """From ordering a new set to having it in the crib."""
    change: Duration = Field(default=0.0, validate_default=True)
    """The set's own minutes in a change (indexing or dressing: that)."""
    replace: Duration | None = None
    """The set's own minutes when an indexed or dressed set is used up and replaced; as change unless given."""
    extra_when_broken: Duration = Field(default=10.0, validate_default=True)
    """Minutes by which an unplanned change after a breakage is longer."""
    presetting: Duration = Field(default=0.0, validate_default=True)
    """Time of a presetter of the crib on each set that has been ground sharp or has come new, before it is put on the
    shelf; in order of arrival. Edges turned and wheels dressed on the machine are not preset. None unless given."""
    renewal: Renewal
    """How a dull set becomes sharp: reground, indexed, dressed or bought."""
    life: LifeEntry | None = None
    """Cutting minutes to the wear limit, or {about: ..., known_within: ...}; from the extended Taylor equation unless
    given."""
    life_cv: Number | None = Field(default=None, ge=0, le=3)
    """Scatter of life from edge to edge (lognormal); the grade's unless given."""
    breaking: Annotated[_ByGradeOrOwn | None, BeforeValidator(_never), AlsoTaken({"const": "never"})] = "by grade"
    """When an edge breaks; the grade's unless given; never, if so stated."""
    break_by_load: Number = Field(default=0.0, ge=0, le=6)
    """Power with which the life share of breaking falls with the chip load of the tooth that stands out, over that at
    the grade's reference feed and depth; typically 3, 2 to 4 (assumed). By the first cut of the set; unless given the
    load does not matter."""
    broken: Broken = "scrap"
    """What becomes of the part when a set of this kind breaks in it: scrap; "spares the part", which is cut again with
    the next set; or {salvage: ...}."""
    seen_after: Whole = Field(default=0, ge=0, le=100_000)
    """Parts cut with an edge that broke unseen until somebody sees it, the one in which it broke among them: its cut
    leaves the metal standing. A breakage_probe, a look at the edge, or a gauge that turns down what it cut last tells
    of it sooner. Unless given it is seen as it breaks, and the cut ends."""
    wear_limit: Length | None = Field(default=None, gt=0)
    """Wear land at life share 1, mm; the grade's unless given."""
    sharp_roughness: Small | None = Field(default=None, gt=0)
    """Ra when sharp or freshly dressed, µm, for stones, wheels and reamers; kinematic from nose radius unless given."""
    wheel: Wheel | None = None
    """How a grinding wheel wears and glazes; unless given only its life share and the abrasive's figures count."""
    ground_to: Length | None = Field(default=None, gt=0)
    """Reamers: diameter to which it is ground, mm; as its hole asks unless given."""
    oversize: Small = Field(default=10.0, ge=0)
    """Reamers ground to a given diameter: by how much its hole comes out larger, µm of diameter; 5 to 15 (assumed)."""
    setting: EdgeSetting = EdgeSetting()
    """How well a fresh edge is set to where it is meant to stand."""
    assumed: Marks = Field(default=[])
    """Typical figures in place of the shop's own, each with its value: ``[life 250, price 30]``.
    A mark counts until the figure is another one."""

    @property
    def is_preset(self) -> bool:
        """Whether a sharp set waits for a presetter before it is put on the shelf."""
        return self.presetting.fixed != 0.0

    @property
    def life_min(self) -> float | None:
        """Cutting minutes to the wear limit as they are thought to be; None where the Taylor equation gives them."""
        return self.life.about if isinstance(self.life, Life) else self.life

    @property
    def known_within(self) -> float:
        """Factor within which the mean life lies with 95 %; 1 where it is known."""
        return self.life.known_within if isinstance(self.life, Life) else 1.0

    def with_life(self, life_min: float) -> float | Life:
        """The entry for another life, known as well as this one."""
        return self.life.model_copy(update={"about": life_min}) if isinstance(self.life, Life) else life_min


class Crib(Strict):
    """The tool crib: grinders shared by all kinds of cutter, first come first served."""

    grinders: Whole = Field(default=1, ge=0, le=10_000)
    """Tool grinders that work at the same time."""
    rate: MoneyPerHour = Field(default=0.0, ge=0)
    """Cost of one hour on a tool grinder, its grinder hand included. In the scenario's currency."""
    presetters: str | None = None
    """The pool of people who preset sharp sets, first come first served; setters may be named who do it beside."""
