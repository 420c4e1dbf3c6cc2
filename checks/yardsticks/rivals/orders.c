// The way "orders" of yard: of an engine whose cylinders stand in line, every order of force, moment, torque and roll moment,
// and the six curves.
//
// A kind of cylinder keeps its harmonics, and its curves over half a revolution in two parts: steady, which repeats after half
// a revolution, and turning, which changes sign then. Cylinders that stand half a revolution apart have the same steady part,
// and their turning parts cancel, so that they are one place. An evaluation adds up the turns of the places, order by order,
// multiplies them by the harmonics, and adds up the two parts of the curves, shifted. The first order of the force is left out
// of the parts: with the masses on the crank it is one vector for the engine.

#include "yard.h"

#include <complex.h>
#include <stdio.h>
#include <string.h>

enum { MOST_ORDERS = 64, LANES = 4 }; // orders come in fours, the last ones zero
enum { FORCE, MOTION_TORQUE, MOTION_ROLL, QUANTITIES };

struct row { double re[MOST_ORDERS], im[MOST_ORDERS]; }; // Re Σ (re + i im) e^{inφ}, by order n

static struct pattern {
    int orders;                       // one more than the highest, whole fours
    int turns;                        // whether the force has a turning part
    struct row harmonics[QUANTITIES]; // of the force along the cylinder a half, without the first order
    double complex along, across;     // half the first order of the force
    double steady[QUANTITIES][MOST_ANGLES], turning[QUANTITIES][MOST_ANGLES]; // written twice
} patterns[MOST_CYLINDERS];

// What the last evaluation found, per square of the speed: force and moment as phasors that turn with the crank and against
// it, torque and roll moment.
enum { WITH, AGAINST, MOMENT_WITH, MOMENT_AGAINST, TORQUES, ROLLS, PHASORS };
static struct row order[PHASORS];
static int most; // of the orders

void print_orders(void) {
    for (int k = 1; k < most; k++)
        for (int i = 0; i < PHASORS; i++) printf("%.17g %.17g ", order[i].re[k], order[i].im[k]);
}

static void harmonic(const double *x, int n, int k, double *re, double *im) {
    *re = *im = 0;
    for (int j = 0; j < n; j++) {
        *re += 2.0 / n * x[j] * unit_cos[j * k % n];
        *im -= 2.0 / n * x[j] * unit_sin[j * k % n];
    }
}

// find_pattern is done once for a kind of cylinder.
static const struct pattern *find_pattern(struct motion *m, int n) {
    static const int share[QUANTITIES] = {ALONG, OWN_TORQUE, OWN_ROLL};
    struct pattern *p = m->pattern = &patterns[m - known];
    memset(p, 0, sizeof *p);
    int highest = 1;
    for (int q = 0; q < QUANTITIES; q++) {
        const double *x = m->share[share[q]];
        double *re = p->harmonics[q].re, *im = p->harmonics[q].im, largest = 0;
        for (int k = 1; k < MOST_ORDERS; k++) {
            harmonic(x, n, k, &re[k], &im[k]);
            largest = fmax(largest, hypot(re[k], im[k]));
        }
        for (int k = 1; k < MOST_ORDERS; k++) {
            if (fabs(re[k]) < 2e-15 * largest) re[k] = 0;
            if (fabs(im[k]) < 2e-15 * largest) im[k] = 0;
            if ((re[k] || im[k]) && k > highest) highest = k;
        }
        for (int j = 0; j < n / 2; j++) {
            const double first = q == FORCE ? re[1] * unit_cos[j] - im[1] * unit_sin[j] : 0;
            p->steady[q][j] = p->steady[q][j + n / 2] = (x[j] + x[j + n / 2]) / 2;
            p->turning[q][j] = (x[j] - x[j + n / 2]) / 2 - first;
            p->turning[q][j + n / 2] = -p->turning[q][j];
        }
    }
    struct row *f = &p->harmonics[FORCE];
    double re, im;
    harmonic(m->share[ACROSS], n, 1, &re, &im); // across the cylinder there is no other order
    p->across = (re + I * im) / 2;
    p->along = (f->re[1] + I * f->im[1]) / 2;
    f->re[1] = f->im[1] = 0;
    for (int k = 0; k < MOST_ORDERS; k++) {
        f->re[k] /= 2;
        f->im[k] /= 2;
        if (k % 2 && (f->re[k] || f->im[k])) p->turns = 1;
    }
    p->orders = (highest / LANES + 1) * LANES;
    if (p->orders >= MOST_ORDERS) fail("a cylinder has more orders than there is room for");
    return p;
}

// place is where cylinders of one kind begin in the steady and the turning part, how many they are, and the sum of their arms;
// those half a revolution later count negative in the turning part.
struct place {
    const struct pattern *pattern;
    int first;
    double count, arms, turning_count, turning_arms, reach; // reach: sum of the lengths of the arms
};

static int find_places(struct place *place, int n) {
    int places = 0;
    for (int i = 0; i < engine.cylinders; i++) {
        const struct cylinder *c = &engine.cylinder[i];
        if (c->axis != engine.cylinder[0].axis) fail("orders is for cylinders in line");
        int first;
        struct motion *m = motion_of(c, n, &first);
        const struct pattern *own = m->pattern ? m->pattern : find_pattern(m, n);
        const double arm = c->x - engine.reference, sign = first < n / 2 ? 1 : -1;
        if (first >= n / 2) first -= n / 2;
        struct place *p = place;
        while (p < place + places && (p->pattern != own || p->first != first)) p++;
        if (p == place + places) place[places++] = (struct place){.pattern = own, .first = first};
        p->count++;
        p->arms += arm;
        p->turning_count += sign;
        p->turning_arms += sign * arm;
        p->reach += fabs(arm);
    }
    return places;
}

// sum_turns adds up e^{inφ} of the places of a pattern, plain and times their arms. What cancels to rounding is zero.
static void sum_turns(struct row *restrict force, struct row *restrict moment, const struct pattern *pattern, const struct place *place, int places, int n) {
    const int end = pattern->orders;
    double count = 0, reach = 0;
    for (int k = 0; k < end; k++) force->re[k] = force->im[k] = moment->re[k] = moment->im[k] = 0;
    for (const struct place *p = place; p < place + places; p++) {
        if (p->pattern != pattern) continue;
        count += p->count;
        reach += p->reach;
        for (int k = 0, at = 0; k < end; k++) {
            const double cos = unit_cos[at], sin = unit_sin[at], w = k % 2 ? p->turning_count : p->count, v = k % 2 ? p->turning_arms : p->arms;
            force->re[k] += w * cos;
            force->im[k] += w * sin;
            moment->re[k] += v * cos;
            moment->im[k] += v * sin;
            at += p->first;
            if (at >= n) at -= n;
        }
    }
    const double least = 2e-14 * count, least_arm = 2e-14 * reach;
    for (int k = 0; k < end; k++) {
        force->re[k] = fabs(force->re[k]) > least ? force->re[k] : 0;
        force->im[k] = fabs(force->im[k]) > least ? force->im[k] : 0;
        moment->re[k] = fabs(moment->re[k]) > least_arm ? moment->re[k] : 0;
        moment->im[k] = fabs(moment->im[k]) > least_arm ? moment->im[k] : 0;
    }
}

// add_product adds harmonics times turns.
static inline void add_product(struct row *restrict to, const struct row *restrict a, const struct row *restrict b, int end) {
    for (int k = 0; k < end; k++) {
        to->re[k] += a->re[k] * b->re[k] - a->im[k] * b->im[k];
        to->im[k] += a->re[k] * b->im[k] + a->im[k] * b->re[k];
    }
}

// put_in_frame turns a quantity along the cylinders by their direction d: with = d x, against = d conj x.
static inline void put_in_frame(struct row *restrict with, struct row *restrict against, double complex d, const struct row *restrict x) {
    const double c = creal(d), s = cimag(d);
    for (int k = 0; k < most; k++) {
        with->re[k] = c * x->re[k] - s * x->im[k];
        with->im[k] = c * x->im[k] + s * x->re[k];
        against->re[k] = c * x->re[k] + s * x->im[k];
        against->im[k] = s * x->re[k] - c * x->im[k];
    }
}

static void set_first(struct row *r, double complex v, double gross) { // what cancels to rounding is zero
    r->re[1] = fabs(creal(v)) > 1e-14 * gross ? creal(v) : 0;
    r->im[1] = fabs(cimag(v)) > 1e-14 * gross ? cimag(v) : 0;
}

// find_orders sets the orders.
static void find_orders(const struct place *place, int places, int n) {
    struct row turns, arms, force, moment;
    double complex force_along = 0, force_across = 0, moment_along = 0, moment_across = 0; // in the first order
    double gross = 0, gross_arm = 0;
    most = LANES;
    for (int i = 0; i < places; i++) most = place[i].pattern->orders > most ? place[i].pattern->orders : most;
    for (int k = 0; k < most; k++) {
        force.re[k] = force.im[k] = moment.re[k] = moment.im[k] = 0;
        order[TORQUES].re[k] = order[TORQUES].im[k] = order[ROLLS].re[k] = order[ROLLS].im[k] = 0;
    }
    for (int i = 0; i < places; i++) {
        const struct pattern *p = place[i].pattern;
        int before = 0;
        while (place[before].pattern != p) before++;
        if (before < i) continue;
        sum_turns(&turns, &arms, p, place + i, places - i, n);
        add_product(&force, &p->harmonics[FORCE], &turns, p->orders);
        add_product(&moment, &p->harmonics[FORCE], &arms, p->orders);
        add_product(&order[TORQUES], &p->harmonics[MOTION_TORQUE], &turns, p->orders);
        add_product(&order[ROLLS], &p->harmonics[MOTION_ROLL], &turns, p->orders);
        const double complex turn = turns.re[1] + I * turns.im[1], arm = arms.re[1] + I * arms.im[1];
        force_along += p->along * turn;
        force_across += p->across * turn;
        moment_along += p->along * arm;
        moment_across += p->across * arm;
    }
    const double axis = engine.cylinder[0].axis;
    const double complex d = I * (cos(axis) + I * sin(axis));
    put_in_frame(&order[WITH], &order[AGAINST], d, &force);
    put_in_frame(&order[MOMENT_WITH], &order[MOMENT_AGAINST], I * d, &moment);

    double complex with = d * (force_along + I * force_across), moment_with = I * d * (moment_along + I * moment_across);
    for (int i = 0; i < engine.masses; i++) {
        const struct mass *m = &engine.mass[i];
        const double f = m->mass * m->radius, arm = m->x - engine.reference;
        const double complex turn = f * cos(m->angle) + I * (f * sin(m->angle));
        with += I * turn;
        moment_with -= arm * turn;
        gross += fabs(f);
        gross_arm += fabs(f * arm);
    }
    set_first(&order[WITH], with, gross);
    set_first(&order[MOMENT_WITH], moment_with, gross_arm);
    set_first(&order[AGAINST], d * conj(force_along - I * force_across), gross);
    set_first(&order[MOMENT_AGAINST], I * d * conj(moment_along - I * moment_across), gross_arm);
}

struct term { double by; const double *from; };

static inline double sum(const struct term *t, int terms, int j) {
    double v = t[0].by * t[0].from[j];
    for (int k = 1; k < terms; k++) v += t[k].by * t[k].from[j];
    return v;
}

// EACH repeats a loop for as many terms as can be summed in one go, so that the compiler knows how many there are.
enum { AT_ONCE = 4 };
#define EACH(terms, loop) \
    switch (terms) { \
    case 1: loop(1) break; \
    case 2: loop(2) break; \
    case 3: loop(3) break; \
    default: loop(4) \
    }

// add_up sets n numbers to a sum of terms.
static void add_up(double *restrict to, int n, const struct term *t, int terms) {
#define SET(few) for (int j = 0; j < n; j++) to[j] = sum(t, few, j);
#define ADD(few) for (int j = 0; j < n; j++) to[j] += sum(t, few, j);
    if (!terms) memset(to, 0, n * sizeof *to);
    else EACH(terms, SET)
    for (t += AT_ONCE, terms -= AT_ONCE; terms > 0; t += AT_ONCE, terms -= AT_ONCE) EACH(terms, ADD)
}

// spread adds a sum of terms to n numbers and sets those half a revolution late to what they are less the sum.
static void spread(double *restrict to, double *restrict late, int n, const struct term *t, int terms) {
#define SPREAD(few) for (int j = 0; j < n; j++) { const double a = to[j], b = sum(t, few, j); to[j] = a + b; late[j] = a - b; }
#define MORE(few) for (int j = 0; j < n; j++) { const double b = sum(t, few, j); to[j] += b; late[j] -= b; }
    if (!terms) memcpy(late, to, n * sizeof *to);
    else EACH(terms, SPREAD)
    for (t += AT_ONCE, terms -= AT_ONCE; terms > 0; t += AT_ONCE, terms -= AT_ONCE) EACH(terms, MORE)
}

// parts are those of a curve: what repeats after half a revolution, and what changes sign then.
struct parts { struct term steady[MOST_CYLINDERS], turning[MOST_CYLINDERS + 2]; int steadies, turnings; };

static void add_places(struct parts *to, int quantity, int moment, double by, const struct place *place, int places) {
    for (const struct place *p = place; by && p < place + places; p++) {
        const double a = moment ? p->arms : p->count, b = moment ? p->turning_arms : p->turning_count;
        const double least = 1e-14 * (moment ? p->reach : p->count);
        if (fabs(a) > least) to->steady[to->steadies++] = (struct term){by * a, p->pattern->steady[quantity] + p->first};
        if (fabs(b) > least && (quantity != FORCE || p->pattern->turns))
            to->turning[to->turnings++] = (struct term){by * b, p->pattern->turning[quantity] + p->first};
    }
}

static void add_first(struct parts *to, double cos, double sin) {
    if (cos) to->turning[to->turnings++] = (struct term){cos, unit_cos};
    if (sin) to->turning[to->turnings++] = (struct term){sin, unit_sin};
}

// write_curve writes a curve from its parts.
static void write_curve(double *to, int n, const struct parts *p) {
    add_up(to, n / 2, p->steady, p->steadies);
    spread(to, to + n / 2, n / 2, p->turning, p->turnings);
    for (int t = 1; t < engine.turns; t++) memcpy(to + t * n, to, n * sizeof *to);
}

// find_curves sets the curves; their first orders are there already.
static void find_curves(const struct place *place, int places, int n) {
    const double axis = engine.cylinder[0].axis, w2 = engine.speed * engine.speed, c = w2 * cos(axis), s = w2 * sin(axis);
    const double along[CURVES] = {-s, c, -c, -s, w2, w2};
    for (int i = 0; i < CURVES; i++) {
        const int moment = i == MY || i == MZ, quantity = i == TORQUE ? MOTION_TORQUE : i == ROLL ? MOTION_ROLL : FORCE;
        struct parts p;
        p.steadies = p.turnings = 0;
        add_places(&p, quantity, moment, along[i], place, places);
        if (quantity == FORCE) {
            const struct row *with = &order[moment ? MOMENT_WITH : WITH], *against = &order[moment ? MOMENT_AGAINST : AGAINST];
            if (i == FY || i == MY) add_first(&p, w2 * (with->re[1] + against->re[1]), w2 * (against->im[1] - with->im[1]));
            else add_first(&p, w2 * (with->im[1] + against->im[1]), w2 * (with->re[1] - against->re[1]));
        }
        write_curve(out[i], n, &p);
    }
}

__attribute__((noinline)) void orders(void) {
    const int n = engine.samples / engine.turns;
    if (n % 2) fail("orders needs an even number of samples a revolution");
    struct place place[MOST_CYLINDERS];
    const int places = find_places(place, n);
    find_orders(place, places, n);
    find_curves(place, places, n);
}
