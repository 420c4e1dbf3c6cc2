// Package yardsticks measures how fast our computations are beside the same work done by others, in one run: in plain C
// (rivals/yard.c, rivals/orders.c), with NumPy and SciPy (rivals/yard.py), and with the Simbody multibody library
// (checks/independent/simbody/multibody.cpp --serve).
//
// The programs run beside the test and answer on standard output what they are asked on standard input: "give WAY" prints the
// numbers, "time WAY N" how much processor time N evaluations take. Each is written as well as we can; where there are several
// ways, all are measured and the fastest counts. `make bench-yardsticks` holds all numbers against ours first, then times
// everybody in turns and prints medians and ratios; docs/performance.md has what was found. The tests only compare the numbers:
// none of them depends on speed.
//
// Where a program cannot be built or run that fails, and says what to install; CRANKWRIGHT_NO_CC=1, CRANKWRIGHT_NO_SCIPY=1
// and CRANKWRIGHT_NO_SIMBODY=1 leave it out on purpose.
package yardsticks
