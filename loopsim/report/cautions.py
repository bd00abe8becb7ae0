"""What can hurt someone, and what the calculation leaves out: in plain words, the same in every report."""

__all__ = ["CAUTIONS", "LEFT_OUT"]

CAUTIONS = (
    "Test for leaks before the first power-up: fill and run the loop with all electronics unpowered and dry, from a "
    "separate supply for the pump, with paper under every joint, for several hours. Switch on only when all is dry.",
    "Plastic and glass under pressure can burst and throw pieces. Wear eye protection at every pressure test and keep "
    "your face away from lids and windows.",
    "Never test plastic or glass with high air pressure: compressed air stores far more energy than liquid at the same "
    "pressure, and lets it go at once. Stay at the low pressure that the weakest part's data allow.",
    "Warm plastic is weaker than cold: acrylic may soften below the boiling point of water, and hot soft tube slips "
    "off its fittings. Clamp every joint, and stay below what the makers allow at the warmest temperature here.",
    "Water on hot glass shatters it, and on hot metal turns to steam that scalds: lead tubes where no joint can drip "
    "there, and wear eye protection beside glass that is hot or under strain.",
    "Glycol is harmful if swallowed, ethylene glycol can kill in small amounts. Label bottle and machine, keep both "
    "from children and animals, wipe up spills, and hand in old coolant as your local rules ask; not down the drain.",
    "Parts and coolant get hot. Bare metal above about 60 °C burns at a touch (common practice): cover it or say so on "
    "it. Let the machine cool before you open a joint; hot liquid under pressure scalds.",
    "No calculated temperature protects anything. What gives the heat needs a cut-out of its own that acts without "
    "software when flow or air stays away: a flow switch, a thermal switch, or both.",
    "Work on mains wiring is for those licensed to do it; your local electrical and safety codes hold, whatever this "
    "report says. Unplug the machine before you open it, and keep mains parts out of the reach of a leak.",
    "Electrical supplies need the air around them that their makers ask for, a fuse and a residual-current device "
    "before them, and an earth on all metal that can be touched, as your local code has it; that is licensed work.",
    "Fans start by themselves: keep fingers, hair and cables out of them, and fit guards where a hand can reach.",
    "Cutting and drilling acrylic makes sharp chips and fine dust; flame polishing and laser cutting make fumes, and "
    "acrylic burns. Wear eye protection and a mask, work with extraction, keep an extinguisher at hand.",
    "Never run a pump dry: it must be flooded before it starts. Most small pumps are ruined within minutes.",
)

LEFT_OUT = (
    "Heat: temperatures are those in which the machine settles. Each component and each space of air has one "
    "temperature, as if well stirred; tubes and walls of the enclosure pass no heat, and nothing is radiated.",
    "The flow, the pressure budget and the grade line are those at the coolant temperature stated above; curves and "
    "failures are those at the temperatures found in the first load case. Each load case has a flow of its own.",
    "Air: heights and the draught of warm air do not count, nor what stands in the way between fans and radiators.",
    "Tees and crosses follow handbook laws of how the flow divides, or a constant loss in each leg where that is "
    "chosen; fittings close to one another cost more or less than apart.",
    "Filling and draining: heights are those of the bores' centre lines; liquid runs over a hump, and air under a "
    "sill, up to half a bore earlier. Air shut in while pouring is squeezed by the column above it; while pumps run "
    "it counts at ambient pressure. No siphon is counted on, and no check valve lets air through. Whether flow clears "
    "a pocket is known from pipes of 100 mm and more; how much gas a pump swallows is an estimate, and how long "
    "bubbles take to come out is not known. All flows hold for a loop full of liquid.",
    "Sealed loops: walls and tubes are stiff, the gas is as warm as the coolant, none dissolves and none leaves "
    "through soft tube. Where several vessels hold gas the first one takes all of the swell.",
    "Clear plastic: flat plates under even pressure, their edges free to turn; holes, glue, scratches, heat and the "
    "gasket's own force do not count.",
    "No band for the headline flows is worked out yet; they stand with three digits, and the table of data says how "
    "far each curve may be trusted.",
)
