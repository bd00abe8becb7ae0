"""Does it stay cool: flow, heat and air of a layout at rest and in time."""

from loopsim.studies.heat.air_flows import AirFlow, air_flows
from loopsim.studies.heat.air_plots import AirPlot, air_plots
from loopsim.studies.heat.balance import HeatBalance, HeatLine, heat_balance
from loopsim.studies.heat.point import heat_point, heat_points
from loopsim.studies.heat.power import SupplyLoad
from loopsim.studies.heat.results import ComponentHeat, ExchangerHeat, FanFlow, HeatBudget, HeatPoint, SpaceAir
from loopsim.studies.heat.staircase import CoolantStep, Staircase, staircases
from loopsim.studies.heat.summary import air_drawn_in, band_of, component_sentence, heat_sentence, news_of_heat, settled
from loopsim.studies.heat.transient import transient
from loopsim.studies.heat.transient_results import Boiling, ComponentCourse, Crossing, Transient

__all__ = [
    "AirFlow",
    "AirPlot",
    "Boiling",
    "ComponentCourse",
    "ComponentHeat",
    "CoolantStep",
    "Crossing",
    "ExchangerHeat",
    "FanFlow",
    "HeatBalance",
    "HeatBudget",
    "HeatLine",
    "HeatPoint",
    "SpaceAir",
    "Staircase",
    "SupplyLoad",
    "Transient",
    "air_drawn_in",
    "air_flows",
    "air_plots",
    "band_of",
    "component_sentence",
    "heat_balance",
    "heat_point",
    "heat_points",
    "heat_sentence",
    "news_of_heat",
    "settled",
    "staircases",
    "transient",
]
