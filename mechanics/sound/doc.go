// Package sound says how an engine sounds: when its exhaust pulses come, which orders they make, and an
// audible preview of them.
//
// The chapter in the order in which it is best read:
//
//   - train.go: Train, the exhaust pulses of one cycle by exhaust group, with their intervals;
//   - shape.go: the shape of one pulse and its transform;
//   - orders.go: Orders, the order spectrum of each group and of the sum at the ear;
//   - table.go: one pulse without what lies above half the sampling rate;
//   - setting.go: at which speed and load, and for how long;
//   - render.go: Render, a stretch of sound, at one speed or over a ramp; Loop, whole cycles without a seam;
//   - wav.go: WAV, the samples as a file.
//
// # The one idea
//
// Every cylinder sends one pulse a cycle into the exhaust. The pulses are alike, so their spectrum is the spectrum of
// the firing pattern times the transform of one pulse,
//
//	Y_k = C_k H(Ω)      C_k = Σ_j s_j e^{−ikα_j/2}      Ω = kω/2
//
// with pulse j of strength s_j at crank angle α_j. C_k depends on the layout alone: an engine that fires
// evenly keeps only the multiples of its firing order, a cross-plane vee eight keeps half orders in each pipe. H depends on speed and load and only colours it.
//
// # What it leaves out
//
// Resonance and damping of pipes, silencers, the intake, mechanical noise, the room. Differences between pipes enter
// as a delay of each group. The pattern of intervals is that of the engine; the timbre is a sketch.
//
// Orders are by half orders: index k is order k/2.
package sound
