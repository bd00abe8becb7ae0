"""What the program says of itself: what it is for, the model's limits, and the usual cautions."""

__all__ = ["ABOUT"]

ABOUT = """
<h3>Loopsim</h3>
<p>For people who build one-off liquid-cooled machines by hand. From one sketch, drawn to scale with heights, it works
out what flows and what takes the pressure, whether all stays cool, what is left when a pump or a fan stops, how the
loop is filled, bled and drained, and whether it fits.</p>
<p><b>What its numbers leave out</b></p>
<ul>
<li>Flow and curves are those at the coolant temperature that you state; heat is worked out with the flow at the
temperatures that it finds. Spaces of air are taken as well mixed; tubes and walls pass no heat.</li>
<li>Losses in tees follow handbook laws, as if no other fitting were near.</li>
<li>The resistance of a standing impeller is an estimate until it is measured; so is every curve beyond its data.</li>
<li>Heat is followed in time, flow is not: nothing is said of how a pump runs up or pulses.</li>
<li>How long bleeding takes cannot be worked out; give your own time, or go by common practice.</li>
</ul>
<p><b>Cautions</b></p>
<ul>
<li>Water and mains: leave mains wiring to a licensed electrician, follow the local code, and keep a leak from reaching
anything live. Unplug before you fill, bleed or drain.</li>
<li>Test a loop for leaks with the machine switched off. Compressed air in plastic or glass can burst it: use low
pressure, a relief, and eye protection.</li>
<li>Ethylene glycol is poisonous. Keep it from children and animals, and dispose of it as the local code asks.</li>
<li>Never run a pump dry. Let hot parts cool before you touch them. Give what makes heat a cut-out of its own that acts
when flow or air stays away.</li>
<li>Cutting and gluing acrylic: wear eye protection, clamp the sheet, air the room.</li>
</ul>
<p>A calculation does not replace a test of the finished machine.</p>
"""
