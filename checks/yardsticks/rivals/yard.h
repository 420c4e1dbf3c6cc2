// What the ways of yard share.

#ifndef YARD_H
#define YARD_H

#include <math.h>

enum { MOST_CYLINDERS = 16, MOST_MASSES = 64 };
enum { MOST_ANGLES = 1448 }; // no power of two, so that the curves do not fight for the same places in the cache

// What a cylinder's own motion depends on: crank radius, rod length, offset of the piston pin's path, masses of piston and rod,
// centre of gravity of the rod from its big end, its moment of inertia about it. SI units, as everywhere.
struct kind { double radius, length, offset, piston, rod, cg, inertia; };
struct cylinder { char name[64]; struct kind kind; double x, axis, pin; };
struct mass { double x, radius, angle, mass; };

extern struct engine {
    double speed, reference;
    int samples, turns, cylinders, masses;
    struct cylinder cylinder[MOST_CYLINDERS];
    struct mass mass[MOST_MASSES];
} engine;

// The curves: force and moment along and about y and z, torque, roll moment.
enum { FY, FZ, MY, MZ, TORQUE, ROLL, CURVES };
extern double out[CURVES][MOST_ANGLES];

extern double unit_cos[MOST_ANGLES], unit_sin[MOST_ANGLES]; // directions at equal steps of one revolution

// motion is what a kind of cylinder does over a revolution, written twice so that it can be read from any angle; rest is the
// crank angle of its first sample, in steps.
enum { ALONG, ACROSS, OWN_TORQUE, OWN_ROLL, SHARES };
extern struct motion {
    struct kind kind;
    double rest, share[SHARES][2 * MOST_ANGLES];
    struct pattern *pattern; // of orders.c; NULL until it is needed
} known[MOST_CYLINDERS];

// motion_of finds or makes the motion of a cylinder and says at which of n samples it begins.
struct motion *motion_of(const struct cylinder *c, int n, int *first);

// orders is the way of that name, for cylinders in line; print_orders prints the last ones.
void orders(void);
void print_orders(void);

void fail(const char *what);

#endif
