// Package person says what vibration means to people: the frequency weightings of the published standards, the weighted
// acceleration of a vibration that is known by orders, daily exposure, and the action and limit values of the directive on
// vibration at work.
//
// The chapter in the order in which it is best read:
//
//   - weighting.go: the weightings Wk, Wd, Wb, Wc, We, Wj, Wm for the whole body and Wh for the hand, as the transfer
//     functions by which instruments are defined;
//   - octave.go: the frequencies of third-octave bands, exact and nominal, at which the standards print factors;
//   - exposure.go: weighted acceleration, combination of directions, exposure of a day, action and limit values.
//
// # The one idea
//
// A body feels some frequencies more than others. A vibration of several frequencies is weighted frequency by frequency,
//
//	a_w = √ Σ ( W(f) a )²       a root mean square
//
// so that an engine's orders, which are known one by one, need no filter in time.
//
// # What it is not
//
// A computed exposure tells layouts apart. Whether people are safe is decided by measurement at the place where they stand
// or hold, by the rules of the country, and by those who answer for them.
package person
