// yard computes what the inertia of an inline engine does at every crank angle of a cycle, in plain C: shaking force, shaking
// moment, inertia torque and roll moment. It is a yardstick for the speed of mechanics/inertia and shares no code with it.
//
//     yard ENGINE.txt
//
// The input is that of checks/independent (see its README.md), of engines whose rods all stand on the crank. The program answers
// on standard output what it is asked on standard input, a line each:
//
//     give WAY        the six curves, one behind the other; then, where the way finds them, the orders
//     time WAY N      how much processor time N evaluations take [s]
//
// The ways
//     plain     sine and cosine at every crank angle for every cylinder
//     tables    directions from a table, one revolution of a cylinder's motion; cylinders that are alike share it, shifted, and
//               the second revolution is a copy of the first
//     kept      as tables, the motion kept from one evaluation to the next as long as the cylinders are the same
//     orders    the curves with all their orders, the motion of a cylinder and its harmonics kept: orders.c

#include "yard.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

struct engine engine;
double out[CURVES][MOST_ANGLES], unit_cos[MOST_ANGLES], unit_sin[MOST_ANGLES];

void fail(const char *what) {
    fprintf(stderr, "yard: %s\n", what);
    exit(1);
}

static void read_engine(const char *path) {
    FILE *f = fopen(path, "r");
    if (!f) fail("cannot read the engine");
    char line[512], item[64];
    while (fgets(line, sizeof line, f)) {
        if (line[0] == '#' || sscanf(line, "%63s", item) != 1) continue;
        const char *rest = line + strlen(item);
        if (!strcmp(item, "speed")) sscanf(rest, "%lf", &engine.speed);
        else if (!strcmp(item, "reference")) sscanf(rest, "%lf", &engine.reference);
        else if (!strcmp(item, "sample")) sscanf(rest, "%d %d", &engine.samples, &engine.turns);
        else if (!strcmp(item, "mass")) {
            if (engine.masses == MOST_MASSES) fail("too many masses");
            struct mass *m = &engine.mass[engine.masses++];
            if (sscanf(rest, " crank %lf %lf %lf %lf", &m->x, &m->radius, &m->angle, &m->mass) != 4) fail("a mass is not on the crank");
        } else if (!strcmp(item, "rod")) {
            if (engine.cylinders == MOST_CYLINDERS) fail("too many cylinders");
            struct cylinder *c = &engine.cylinder[engine.cylinders++];
            struct kind *k = &c->kind;
            if (sscanf(rest, "%63s crank %lf %lf %lf %lf %lf %lf %lf", c->name, &c->x, &k->radius, &c->pin, &k->length, &k->rod, &k->cg, &k->inertia) != 8) fail("a rod is not on the crank");
        } else if (!strcmp(item, "piston")) {
            char rod[64];
            double axis, offset, mass;
            if (sscanf(rest, "%*s %63s %lf %lf %lf", rod, &axis, &offset, &mass) != 4) fail("a piston cannot be read");
            for (int i = 0; i < engine.cylinders; i++)
                if (!strcmp(rod, engine.cylinder[i].name)) {
                    engine.cylinder[i].axis = axis;
                    engine.cylinder[i].kind.offset = offset;
                    engine.cylinder[i].kind.piston = mass;
                }
        } else if (strcmp(item, "engine") && strcmp(item, "crank")) fail("the engine has more than a crank with rods and pistons");
    }
    fclose(f);
    if (engine.speed <= 0 || engine.turns <= 0 || engine.samples <= 0 || engine.samples > MOST_ANGLES || engine.samples % engine.turns) fail("speed or sample is missing or wrong");
}

// share is what one cylinder does per square of the speed, in its own frame.
struct share { double along, across, torque, roll; };

// share_at takes the direction of the crank in the cylinder's frame, cosine and sine.
static inline struct share share_at(struct kind k, double c, double s) {
    const double r = k.radius, part = k.cg / k.length;
    // from the pin to the piston pin: h along the cylinder, d across it; then their derivatives by the crank angle
    const double d = k.offset - r * s, d1 = -r * c, d2 = r * s;
    const double h = sqrt(k.length * k.length - d * d), inverse = 1 / h;
    const double h1 = -d * d1 * inverse, h2 = -(d1 * d1 + d * d2 + h1 * h1) * inverse;
    const double turn1 = d1 * inverse, turn2 = (d2 - turn1 * h1) * inverse; // of the rod
    const double v = h1 - r * s, a = h2 - r * c;                            // of the piston
    const double gu = r * c + part * h, gv = r * s + part * d;              // centre of gravity of the rod
    const double gu1 = part * h1 - r * s, gv1 = r * c + part * d1;
    const double gu2 = part * h2 - r * c, gv2 = part * d2 - r * s;
    struct share q;
    q.along = -(k.piston * a + k.rod * gu2);
    q.across = -k.rod * gv2;
    q.torque = -(k.piston * v * a + k.rod * (gu1 * gu2 + gv1 * gv2) + k.inertia * turn1 * turn2);
    q.roll = -q.torque - (-k.piston * k.offset * a + k.rod * (gu * gv2 - gv * gu2) + k.inertia * turn2);
    return q;
}

// plain: every angle, every part, sine and cosine each time.
static __attribute__((noinline)) void plain(void) {
    const double w2 = engine.speed * engine.speed;
    double axis_sin[MOST_CYLINDERS], axis_cos[MOST_CYLINDERS];
    for (int i = 0; i < engine.cylinders; i++) {
        axis_sin[i] = sin(engine.cylinder[i].axis);
        axis_cos[i] = cos(engine.cylinder[i].axis);
    }
    for (int j = 0; j < engine.samples; j++) {
        const double angle = 2 * M_PI * engine.turns * j / engine.samples;
        double fy = 0, fz = 0, my = 0, mz = 0, torque = 0, roll = 0;
        for (int i = 0; i < engine.masses; i++) {
            const struct mass *m = &engine.mass[i];
            const double f = m->mass * m->radius * w2, arm = m->x - engine.reference;
            const double y = -f * sin(m->angle + angle), z = f * cos(m->angle + angle);
            fy += y;
            fz += z;
            my -= arm * z;
            mz += arm * y;
        }
        for (int i = 0; i < engine.cylinders; i++) {
            const struct cylinder *e = &engine.cylinder[i];
            const double phase = angle + e->pin - e->axis, arm = e->x - engine.reference;
            const struct share q = share_at(e->kind, cos(phase), sin(phase));
            const double y = -w2 * (q.along * axis_sin[i] + q.across * axis_cos[i]), z = w2 * (q.along * axis_cos[i] - q.across * axis_sin[i]);
            fy += y;
            fz += z;
            my -= arm * z;
            mz += arm * y;
            torque += w2 * q.torque;
            roll += w2 * q.roll;
        }
        out[FY][j] = fy;
        out[FZ][j] = fz;
        out[MY][j] = my;
        out[MZ][j] = mz;
        out[TORQUE][j] = torque;
        out[ROLL][j] = roll;
    }
}

struct motion known[MOST_CYLINDERS];
static int motions;

static void fill_motion(struct motion *restrict m, int n) {
    const struct kind k = m->kind;
    const double c0 = cos(2 * M_PI * m->rest / n), s0 = sin(2 * M_PI * m->rest / n);
    for (int j = 0; j < n; j++) {
        const struct share q = share_at(k, unit_cos[j] * c0 - unit_sin[j] * s0, unit_sin[j] * c0 + unit_cos[j] * s0);
        m->share[ALONG][j] = q.along;
        m->share[ACROSS][j] = q.across;
        m->share[OWN_TORQUE][j] = q.torque;
        m->share[OWN_ROLL][j] = q.roll;
    }
    for (int i = 0; i < SHARES; i++) memcpy(m->share[i] + n, m->share[i], n * sizeof **m->share);
}

struct motion *motion_of(const struct cylinder *c, int n, int *first) {
    double steps = (c->pin - c->axis) * n / (2 * M_PI), whole = floor(steps + 1e-9);
    *first = ((int)whole % n + n) % n;
    for (int i = 0; i < motions; i++)
        if (fabs(known[i].rest - (steps - whole)) < 1e-9 && !memcmp(&known[i].kind, &c->kind, sizeof c->kind)) return &known[i];
    if (motions == MOST_CYLINDERS) motions = 0;
    struct motion *m = &known[motions++];
    m->kind = c->kind;
    m->rest = steps - whole;
    m->pattern = NULL;
    fill_motion(m, n);
    return m;
}

// crank sets the curves to what the masses on the crank do: one vector that turns.
static void crank(int n) {
    double fc = 0, fs = 0, mc = 0, ms = 0;
    for (int i = 0; i < engine.masses; i++) {
        const struct mass *m = &engine.mass[i];
        const double f = m->mass * m->radius * engine.speed * engine.speed, arm = m->x - engine.reference;
        const double c = f * cos(m->angle), s = f * sin(m->angle);
        fc += c;
        fs += s;
        mc += arm * c;
        ms += arm * s;
    }
    for (int j = 0; j < n; j++) {
        const double c = unit_cos[j], s = unit_sin[j];
        out[FY][j] = -fs * c - fc * s;
        out[FZ][j] = fc * c - fs * s;
        out[MY][j] = ms * s - mc * c;
        out[MZ][j] = -ms * c - mc * s;
        out[TORQUE][j] = out[ROLL][j] = 0;
    }
}

// add adds a cylinder whose motion begins at a sample.
static void add(int n, const struct cylinder *e, const struct motion *m, int first) {
    const double w2 = engine.speed * engine.speed, s = w2 * sin(e->axis), c = w2 * cos(e->axis), arm = e->x - engine.reference;
    const double *along = m->share[ALONG] + first, *across = m->share[ACROSS] + first;
    const double *torque = m->share[OWN_TORQUE] + first, *roll = m->share[OWN_ROLL] + first;
    for (int j = 0; j < n; j++) {
        const double y = -along[j] * s - across[j] * c, z = along[j] * c - across[j] * s;
        out[FY][j] += y;
        out[FZ][j] += z;
        out[MY][j] -= arm * z;
        out[MZ][j] += arm * y;
        out[TORQUE][j] += w2 * torque[j];
        out[ROLL][j] += w2 * roll[j];
    }
}

static __attribute__((noinline)) void kept(void) {
    const int n = engine.samples / engine.turns;
    crank(n);
    for (int i = 0; i < engine.cylinders; i++) {
        int first;
        const struct motion *m = motion_of(&engine.cylinder[i], n, &first);
        add(n, &engine.cylinder[i], m, first);
    }
    for (int i = 0; i < CURVES; i++)
        for (int t = 1; t < engine.turns; t++) memcpy(out[i] + t * n, out[i], n * sizeof **out);
}

static void tables(void) {
    motions = 0;
    kept();
}

int main(int argc, char **argv) {
    if (argc != 2) fail("usage: yard ENGINE.txt");
    read_engine(argv[1]);
    const int n = engine.samples / engine.turns;
    for (int j = 0; j < n; j++) {
        unit_cos[j] = cos(2 * M_PI * j / n);
        unit_sin[j] = sin(2 * M_PI * j / n);
    }
    char line[256], word[64], way[64];
    while (fgets(line, sizeof line, stdin)) {
        long count = 0;
        const int words = sscanf(line, "%63s %63s %ld", word, way, &count);
        void (*evaluate)(void) = !strcmp(way, "plain") ? plain : !strcmp(way, "tables") ? tables : !strcmp(way, "kept") ? kept : !strcmp(way, "orders") ? orders : NULL;
        if (words < 2 || !evaluate) fail("asked for what it does not know");
        if (!strcmp(word, "give")) {
            evaluate();
            for (int i = 0; i < CURVES; i++)
                for (int j = 0; j < engine.samples; j++) printf("%.17g ", out[i][j]);
            if (evaluate == orders) print_orders();
            printf("\n");
        } else {
            struct timespec a, b;
            clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &a);
            for (long i = 0; i < count; i++) evaluate();
            clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &b);
            printf("%.9f\n", (double)(b.tv_sec - a.tv_sec) + 1e-9 * (double)(b.tv_nsec - a.tv_nsec));
        }
        fflush(stdout);
    }
    return 0;
}
