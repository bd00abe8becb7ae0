"""What can hurt someone, and what the calculation leaves out: in plain words, the same in every report."""

__all__ = ["CAUTIONS", "LEFT_OUT"]

CAUTIONS = (
    "Test for leaks before the first power-up: fill and run the loop with all electronics unpowered and dry, from a "
    "separate supply for the pump, with paper under every joint, for several hours. Switch on only when all is dry.",
    "Plastic and glass under pressure can burst and throw pieces. Wear eye protection at every pressure test and keep "
    "your face away from lids and windows.",
    "Never test plastic or glass with high air pressure: compressed air stores far more energy than liquid at the same "
    "pressure, and lets it go at once. Stay at the low pressure that the weakest part's data allow.",
    "Glycol is harmful if swallowed, ethylene glycol can kill in small amounts. Label bottle and machine, keep both "
    "from children and animals, wipe up spills, and hand in old coolant as your local rules ask; not down the drain.",
    "Parts and coolant get hot. Let the machine cool before you open a joint; hot liquid under pressure scalds.",
    "Work on mains wiring is for those licensed to do it; your local electrical and safety codes hold, whatever this "
    "report says. Unplug the machine before you open it, and keep mains parts out of the reach of a leak.",
    "Cutting and drilling acrylic makes sharp chips and fine dust; flame polishing and laser cutting make fumes, and "
    "acrylic burns. Wear eye protection and a mask, work with extraction, keep an extinguisher at hand.",
    "Never run a pump dry: it must be flooded before it starts. Most small pumps are ruined within minutes.",
)

LEFT_OUT = (
    "Heat: no temperatures of components, radiators or air are worked out yet.",
    "The coolant has one temperature everywhere, the one stated above; colder coolant is thicker and flows less.",
    "Tees and crosses cost a constant share of velocity head in each leg, whatever the split of the flow.",
    "Filling, bleeding and draining: trapped air is not looked at; all flows hold for a loop full of liquid.",
    "No band for the headline flows is worked out yet; they stand with three digits, and the table of data says how "
    "far each curve may be trusted.",
)
