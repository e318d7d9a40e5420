"""Service: the steps of the bench work in numbers, one module a step.

SI units, absolute pressures unless a name says otherwise.

===================  ===========================================================================================
`law`                what the law and the trade say, each fact with source, edition and mark
`identification`     what an identifier may find, and what each finding permits
`recovery`           filling a cylinder, mass recovered, air in a container
`depth`              which rules a machine falls under, how deep to recover, when it is done
`rinse`              rinsing, solvent left behind, what may not be flushed
`leak_test`          pressure test with dry nitrogen, leak rates, detectors
`leaks`              what a hole lets out, and what soap, detector and dye can find
`evacuation`         vacuum for the day, pump-down, water boil-off
`drying`             a wet circuit on the pump until it is dry
`pumping`            how long by printed practice, and the water that oil and desiccant hold
`rise_test`          what a vacuum does after the pump: tight, leak, moisture, both, or cannot tell
`charging`           starting charge, cans and cylinders, acceptance
`retrofit`           parts, fittings, the one-refrigerant rule and cautions of a change of refrigerant
`changes`            which refrigerant may be changed to which, and what each change asks
`comparison`         one machine with two refrigerants on the same day
`label`              the label that a retrofitted machine must carry
`warming`            what leaks equal in CO2, with the report named
`compressor_swap`    why a compressor died; belt, rings and oil of the new one; what a choice leads to
`clutch`             the clutch's coil, its circuit and its switches
===================  ===========================================================================================

Nothing is imported before it is asked for: ``from coldcab.service import recovery``.
"""
