// Package layout names the parts of a crank train and says which trains can exist.
//
// It computes nothing. A Train is plain data: throws on a crank, cylinders with their axes,
// pistons and rods, masses fixed to the crank, balance shafts. All values are SI (m, kg, s, rad);
// axes and signs are those of docs/notation.md:
//
//   - x runs along the crank from the free end to the drive end, z up along the reference line,
//     y completes the right-handed set;
//   - a plane vector is the complex number y + i·z, and an angle is counted from +z about +x, so
//     the direction of angle a is i·e^{ia};
//   - the crank turns by +θ about +x. A Train with Rotation Clockwise is the mirror image (y → −y)
//     of the train that its numbers describe.
//
// Validate reports every reason for which a train is impossible, with the limit it breaks.
package layout
