// Package independent holds our inertia results against two computations that share no formula
// with them, the cycles of the gas against a third, the vibration of shafts against a fourth, the sharing of loads
// among main bearings against a fifth, and the path of journals through their oil against a sixth. Bodies on mounts, the ranks of
// a choice and the search have a program each, too.
//
// Eleven invented crank trains (Engines) are written out as bodies, joints and masses (Describe,
// input/*.txt). Two programs read these files:
//
//   - simbody/multibody.cpp builds them with the Simbody multibody library: rigid bodies, pin and slider
//     joints, loops closed by constraints. It reads off what the joints put on ground and the torque
//     that holds the crank's speed.
//   - numeric.py closes the loops numerically and takes central differences of positions.
//
// The cycles (Cycles, cycles/*.input.txt) are solved by gas.py with SciPy, the shafts (Shafts, shafts/*.input.txt) by torsion.py,
// cranks as beams on their mains (Beams, beams/*.input.txt) by beams.py, and journals in their oil (Films, films/*.input.txt)
// by films.py. Bodies on mounts (MountedBodies, mounts/*.input.txt) are solved by mounts.py; the ranks of alternatives over all
// weights (Choices, choices/*.input.txt), which package choice draws, are exact volumes in choices.py.
//
// Five studies that package search goes through are searched by brute force in searches.py (searches/*.input.txt); package search
// stands on a higher floor, so only the tests of this package know it.
//
// What they printed stands under raw/, cycles/, shafts/, beams/, films/, mounts/, choices/ and searches/, with versions, settings and the
// errors that they report of themselves. Compare, CompareCycle, CompareShaft, CompareBeam, CompareFilm, CompareMounted and
// CompareChoice say how far ours is from it. README.md describes the files.
package independent
