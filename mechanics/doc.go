// Package mechanics is the shelf on which the chapters stand. It has no code; this is their table of
// contents, in the order in which they may build on each other:
//
//  1. layout: the nouns, and which trains can exist
//  2. motion: where pistons and rods are, exactly and by harmonic
//  3. firing: top dead centres, firing orders, intervals, exhaust groups
//  4. inertia: shaking force and moment, roll moment, inertia torque, by order and over the cycle
//  5. balance: counterweights, balance shafts, bobweights, residual unbalance, tolerances, matching parts
//  6. gas: the cycle of the working gas in one cylinder: pressure, heat, work, exchange of the charge
//  7. torque: gas and inertia torque, crank speed within the cycle, flywheel, friction, power curve
//  8. sound: exhaust pulses by group, their orders, an audible preview
//  9. bearing: forces on bores, pins and mains, sharing among the mains, oil film, room along the crank
//  10. strength: stress at fillets and oil bores, fatigue, what a millimetre buys; the rules for cranks and shafts
//  11. torsion: natural modes of the crank, critical speeds, forced vibration, stress, dampers
//  12. mount: six degrees of freedom on mounts: modes, energy, torque roll axis, response, forces
//  13. person: what vibration means to people: published weightings, exposure, action and limit values
//  14. envelope: length, width, height, clearances, mass and inertia by part, centre of gravity
//  15. parts: what is counted, made and reached: heads, drives, faces, friction by part, cost index, service, cooling
//
// Every chapter is pure: values in, values out, SI units, no files, no printing, no globals.
package mechanics
