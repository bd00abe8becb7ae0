"""Filling, bleeding and draining by the heights of a layout, and testing it for leaks."""

from loopsim.studies.fill.air_map import air_map
from loopsim.studies.fill.clearing import (
    CLEARING_SOURCES,
    HYDRONIC_PRACTICE,
    ClearingSpeeds,
    Clears,
    clearing_speeds,
    surface_tension,
)
from loopsim.studies.fill.cover_results import COVER_CAUTIONS, CoverAdvice, CoverCheck
from loopsim.studies.fill.covers import covers
from loopsim.studies.fill.drain import drain
from loopsim.studies.fill.drain_plan import drain_plan
from loopsim.studies.fill.gravity_fill import gravity_fill
from loopsim.studies.fill.leak import (
    LEAK_CAUTIONS,
    USUAL_TEST_PRESSURE,
    LeakTest,
    air_test_pressure,
    expected_pressure,
    leak_rate,
    leak_test,
)
from loopsim.studies.fill.leak_sheet import LeakSheet, leak_sheet
from loopsim.studies.fill.lid import (
    ACRYLIC,
    POLYCARBONATE,
    ClearPlastic,
    LidLoad,
    lid_load,
    plate_coefficients,
    round_plate,
    strip_load,
)
from loopsim.studies.fill.mix import mix
from loopsim.studies.fill.plan import fill_plan
from loopsim.studies.fill.plan_results import (
    DrainCode,
    DrainPlan,
    DrainPlanStep,
    FillCode,
    FillPlan,
    FillSnapshot,
    FillStep,
    FillWarning,
    LevelFall,
    Mix,
)
from loopsim.studies.fill.port_places import PortProposal, bleed_proposal, drain_proposal, fill_proposal
from loopsim.studies.fill.results import (
    AirMap,
    Drain,
    DrainStep,
    GravityFill,
    HighPoint,
    LowPoint,
    PumpFlooding,
    StartUp,
    SuctionCover,
    TiltPlan,
    TiltStep,
    TrappedPocket,
    Unreached,
    Where,
)
from loopsim.studies.fill.start_up import GAS_DERATING, lock_head, start_ups
from loopsim.studies.fill.suction_cover import least_cover, suction_covers
from loopsim.studies.fill.swell import expansion_vessel, standing_pressure, swell_sheet
from loopsim.studies.fill.swell_results import CircuitSwell, VesselRise
from loopsim.studies.fill.swell_words import SWELL_CAUTIONS
from loopsim.studies.fill.tilt import tilt_plan

__all__ = [
    "ACRYLIC",
    "CLEARING_SOURCES",
    "COVER_CAUTIONS",
    "GAS_DERATING",
    "HYDRONIC_PRACTICE",
    "LEAK_CAUTIONS",
    "POLYCARBONATE",
    "SWELL_CAUTIONS",
    "USUAL_TEST_PRESSURE",
    "AirMap",
    "CircuitSwell",
    "ClearPlastic",
    "ClearingSpeeds",
    "Clears",
    "CoverAdvice",
    "CoverCheck",
    "Drain",
    "DrainCode",
    "DrainPlan",
    "DrainPlanStep",
    "DrainStep",
    "FillCode",
    "FillPlan",
    "FillSnapshot",
    "FillStep",
    "FillWarning",
    "GravityFill",
    "HighPoint",
    "LeakSheet",
    "LeakTest",
    "LevelFall",
    "LidLoad",
    "LowPoint",
    "Mix",
    "PortProposal",
    "PumpFlooding",
    "StartUp",
    "SuctionCover",
    "TiltPlan",
    "TiltStep",
    "TrappedPocket",
    "Unreached",
    "VesselRise",
    "Where",
    "air_map",
    "air_test_pressure",
    "bleed_proposal",
    "clearing_speeds",
    "covers",
    "drain",
    "drain_plan",
    "drain_proposal",
    "expansion_vessel",
    "expected_pressure",
    "fill_plan",
    "fill_proposal",
    "gravity_fill",
    "leak_rate",
    "leak_sheet",
    "leak_test",
    "least_cover",
    "lid_load",
    "lock_head",
    "mix",
    "plate_coefficients",
    "round_plate",
    "standing_pressure",
    "start_ups",
    "strip_load",
    "suction_covers",
    "surface_tension",
    "swell_sheet",
    "tilt_plan",
]
