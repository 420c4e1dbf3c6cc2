// Package independent holds our inertia results against two computations that share no formula
// with them, the cycles of the gas against a third, the vibration of shafts against a fourth, and the sharing of loads
// among main bearings against a fifth, and the path of journals through their oil against a sixth.
//
// Nine invented crank trains (Engines) are written out as bodies, joints and masses (Describe,
// input/*.txt). Two programs read these files:
//
//   - simbody/multibody.cpp builds them with the Simbody multibody library: rigid bodies, pin and slider
//     joints, loops closed by constraints. It reads off what the joints put on ground and the torque
//     that holds the crank's speed.
//   - numeric.py closes the loops numerically and takes central differences of positions.
//
// The cycles (Cycles, cycles/*.input.txt) are solved by gas.py with SciPy, the shafts (Shafts, shafts/*.input.txt) by torsion.py,
// cranks as beams on their mains (Beams, beams/*.input.txt) by beams.py, and journals in their oil (Films, films/*.input.txt)
// by films.py.
//
// What they printed stands under raw/, cycles/, shafts/, beams/, films/ and mounts/, with versions, settings and the errors that they
// report of themselves. Compare, CompareCycle, CompareShaft, CompareBeam and CompareFilm say how far ours is from it. README.md describes the
// files.
package independent
