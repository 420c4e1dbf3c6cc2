// multibody computes what the inertia of a crank train does to its block, with the Simbody
// multibody library and without any formula of Crankwright: it reads bodies, joints and masses,
// lets Simbody close the loops and solve the motion, and reads off what the joints to ground carry.
//
//     multibody INPUT.txt > RAW.txt
//     multibody --serve INPUT.txt
//
// With --serve it is a yardstick for speed: see serve, and checks/yardsticks. The input is one item a line, in SI units and radians; ../README.md describes it.
//
// The model
//   crank    turns in a pin joint on ground; its angle is prescribed, speed x time; its unbalances are
//            point masses, beside a disc of any mass on the axis that keeps the body physical
//   rod      turns in a pin joint on the crank, or on another rod (linked rod); rigid, in plane motion
//   piston   slides in a joint on ground; the rod's small end must stay on the piston pin's axis
//            (Constraint::PointOnLine), which closes the loop
//   shaft    turns in a pin joint on ground, geared to the crank (Constraint::CoordinateCoupler)
// There is no gravity and no other force: all that ground feels is inertia.
//
// What is read off, at equal steps of the crank
//   force and moment   of all joints on ground, Simbody's mobilizer reactions reversed
//   torque             minus the torque that the prescribed motion needs, counted along the turning
//   roll               the reactions' moment about x, without the torque in the crank's own joint, which
//                      comes from outside and not through the block
//   energy, momentum   for cross-checks by differentiation
// The reactions are compared with minus the rate of momentum, summed over the bodies from their
// accelerations; the largest difference is printed at the end.

#include <Simbody.h>

#include <cstdio>
#include <ctime>
#include <fstream>
#include <iostream>
#include <map>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

using namespace SimTK;

namespace {

// ---------------------------------------------------------------- the description

struct PointMass { std::string carrier; double x, radius, angle, mass; };
struct ShaftText { std::string name; double ratio, y, z; };
struct RodText { std::string name, carrier; double x, radius, angle, length, mass, cg, inertia; };
struct PistonText { std::string name, rod; double axis, offset, mass; };

struct Description {
    std::string name;
    double speed = 0;      // about +x [rad/s]; negative: clockwise
    double reference = 0;  // x about which moments are taken [m]
    int samples = 0, turns = 0;
    double crankMass = 0, crankInertia = 0; // disc on the axis
    std::vector<PointMass> masses;
    std::vector<ShaftText> shafts;
    std::vector<RodText> rods;
    std::vector<PistonText> pistons;
};

Description read(const std::string& path) {
    std::ifstream file(path);
    if (!file) throw std::runtime_error("cannot read " + path);
    Description d;
    std::string line;
    for (int number = 1; std::getline(file, line); ++number) {
        std::istringstream in(line.substr(0, line.find('#')));
        std::string item;
        if (!(in >> item)) continue;
        if (item == "engine") in >> d.name;
        else if (item == "speed") in >> d.speed;
        else if (item == "reference") in >> d.reference;
        else if (item == "sample") in >> d.samples >> d.turns;
        else if (item == "crank") in >> d.crankMass >> d.crankInertia;
        else if (item == "mass") {
            PointMass m;
            in >> m.carrier >> m.x >> m.radius >> m.angle >> m.mass;
            d.masses.push_back(m);
        } else if (item == "shaft") {
            ShaftText s;
            in >> s.name >> s.ratio >> s.y >> s.z;
            d.shafts.push_back(s);
        } else if (item == "rod") {
            RodText r;
            in >> r.name >> r.carrier >> r.x >> r.radius >> r.angle >> r.length >> r.mass >> r.cg >> r.inertia;
            d.rods.push_back(r);
        } else if (item == "piston") {
            PistonText p;
            in >> p.name >> p.rod >> p.axis >> p.offset >> p.mass;
            d.pistons.push_back(p);
        } else in.setstate(std::ios::failbit);
        if (!in) throw std::runtime_error(path + ":" + std::to_string(number) + ": cannot understand: " + line);
    }
    if (d.speed == 0 || d.samples <= 0 || d.turns <= 0) throw std::runtime_error(path + ": speed or sample is missing");
    return d;
}

// ---------------------------------------------------------------- the model

// radial is the direction at an angle from +z about +x.
Vec3 radial(double angle) { return Vec3(0, -std::sin(angle), std::cos(angle)); }

// A pin joint turns about the z axis of its frames; ours must turn about x.
Rotation pinAlongX() { return Rotation(UnitVec3(1, 0, 0), ZAxis, UnitVec3(0, 1, 0), XAxis); }

// ConstantSpeed prescribes an angle that grows with time.
class ConstantSpeed : public Motion::Custom::Implementation {
public:
    explicit ConstantSpeed(double speed) : speed(speed) {}
    Implementation* clone() const override { return new ConstantSpeed(speed); }
    Motion::Level getLevel(const State&) const override { return Motion::Position; }
    void calcPrescribedPosition(const State& s, int, Real* q) const override { *q = speed * s.getTime(); }
    void calcPrescribedPositionDot(const State&, int, Real* qdot) const override { *qdot = speed; }
    void calcPrescribedPositionDotDot(const State&, int, Real* qdotdot) const override { *qdotdot = 0; }
private:
    double speed;
};

// turning returns the mass properties of a turning body: a disc on the axis and point masses.
MassProperties turning(const Description& d, const std::string& name, double discMass, double discInertia) {
    double mass = discMass;
    Vec3 moment(0);
    Inertia inertia(discInertia, discInertia / 2, discInertia / 2);
    for (const PointMass& m : d.masses) {
        if (m.carrier != name) continue;
        const Vec3 place = Vec3(m.x, 0, 0) + m.radius * radial(m.angle);
        mass += m.mass;
        moment += m.mass * place;
        inertia += Inertia(place, m.mass);
    }
    return MassProperties(mass, moment / mass, inertia);
}

class CrankTrain {
public:
    // polish: loops are closed down to rounding, not only to what is sure
    CrankTrain(const Description& description, bool polish) : d(description), polish(polish), matter(system) {
        const Rotation along = pinAlongX();
        crank = MobilizedBody::Pin(matter.Ground(), Transform(along),
                                   Body::Rigid(turning(d, "crank", d.crankMass, d.crankInertia)), Transform(along));
        Motion::Custom(crank, new ConstantSpeed(d.speed));
        for (const ShaftText& s : d.shafts) addShaft(s);
        for (const RodText& r : d.rods) addRod(r);
        for (const PistonText& p : d.pistons) addPiston(p);
        state = system.realizeTopology();
        system.realizeModel(state);
    }

    // moveTo brings the model to a crank angle, counted along the turning. The first call assembles it
    // with rods that point along their cylinders, later ones start from where it was.
    void moveTo(double angle) {
        state.setTime(angle / std::abs(d.speed));
        system.realize(state, Stage::Time);
        system.prescribeQ(state);
        if (!assembled) guess();
        assembled = true;
        project([this](Vector& none, const ProjectOptions& options, ProjectResults& results) {
            system.realize(state, Stage::Position);
            system.projectQ(state, none, options, results);
        });
        system.realize(state, Stage::Position);
        system.prescribeU(state);
        project([this](Vector& none, const ProjectOptions& options, ProjectResults& results) {
            system.realize(state, Stage::Velocity);
            system.projectU(state, none, options, results);
        });
        system.realize(state, Stage::Acceleration);
        loopError = std::max(loopError, state.getQErr().size() ? max(abs(state.getQErr())) : 0.0);
        rateError = std::max(rateError, state.getUErr().size() ? max(abs(state.getUErr())) / std::abs(d.speed) : 0.0);
    }

    // onGround returns moment about the reference and force of all joints on ground. What turns the
    // crank is part of its joint's reaction; roll is the moment about x without that torque, for it
    // comes from outside and a bearing carries none.
    SpatialVec onGround(double& roll) const {
        Vector_<SpatialVec> reactions;
        matter.calcMobilizerReactionForces(state, reactions);
        const Vec3 reference(d.reference, 0, 0);
        SpatialVec sum(Vec3(0), Vec3(0));
        roll = 0;
        for (MobilizedBodyIndex i(1); i < matter.getNumBodies(); ++i) {
            const MobilizedBody& body = matter.getMobilizedBody(i);
            if (!body.getParentMobilizedBody().isGround()) continue;
            const Vec3 place = body.findStationLocationInGround(state, body.getOutboardFrame(state).p());
            const Vec3 force = -reactions[i][1], moment = -reactions[i][0], arm = (place - reference) % force;
            sum += SpatialVec(moment + arm, force);
            roll += (i == crank.getMobilizedBodyIndex() ? 0 : moment[0]) + arm[0];
        }
        return sum;
    }

    // momentumRate returns the same from the bodies' accelerations, -d(momentum)/dt.
    SpatialVec momentumRate() const {
        const Vec3 reference(d.reference, 0, 0);
        SpatialVec sum(Vec3(0), Vec3(0));
        for (MobilizedBodyIndex i(1); i < matter.getNumBodies(); ++i) {
            const MobilizedBody& body = matter.getMobilizedBody(i);
            const SpatialVec rate = body.getBodySpatialInertiaInGround(state) * body.getBodyAcceleration(state)
                                  + matter.getGyroscopicForce(state, i);
            const Vec3 place = body.getBodyOriginLocation(state);
            sum -= SpatialVec(rate[0] + (place - reference) % rate[1], rate[1]);
        }
        return sum;
    }

    // drive returns the torque about +x that holds the speed, from the multiplier tau of the prescribed
    // motion. Simbody's equations of motion are M udot + tau + ~G lambda = f, so the torque is -tau.
    double drive() const {
        Vector torques;
        matter.findMotionForces(state, torques);
        return -crank.getOneFromUPartition(state, 0, torques);
    }

    double energy() const { return matter.calcKineticEnergy(state); }
    SpatialVec momentum() const { return matter.calcSystemMomentumAboutGroundOrigin(state); }

    double loopError = 0; // largest distance left in a loop [m], or angle in a gear [rad]
    double rateError = 0; // the same of its rate, per crank speed

    static constexpr double sure = 1e-10, polished = 1e-15; // accuracies of projection, see project

private:
    void addShaft(const ShaftText& s) {
        // the shaft's masses stand about its own axis; it gets a disc of its own, of any size
        MobilizedBody::Pin shaft(matter.Ground(), Transform(pinAlongX(), Vec3(0, s.y, s.z)),
                                 Body::Rigid(turning(d, s.name, 1.0, 1e-3)), Transform(pinAlongX()));
        Vector gear(3);
        gear[0] = s.ratio;
        gear[1] = -1;
        gear[2] = 0;
        Array_<MobilizedBodyIndex> bodies;
        bodies.push_back(crank.getMobilizedBodyIndex());
        bodies.push_back(shaft.getMobilizedBodyIndex());
        Array_<MobilizerQIndex> angles(2, MobilizerQIndex(0));
        Constraint::CoordinateCoupler(matter, new Function::Linear(gear), bodies, angles);
        shafts.push_back(shaft);
    }

    // A rod's own frame: origin at the pin that carries it, z towards the small end.
    void addRod(const RodText& r) {
        MobilizedBody& carrier = r.carrier == "crank" ? static_cast<MobilizedBody&>(crank) : rods.at(r.carrier);
        const double x = r.carrier == "crank" ? r.x : r.x - rodText.at(r.carrier).x;
        const Vec3 pin = Vec3(x, 0, 0) + r.radius * radial(r.angle);
        const Vec3 centre(0, 0, r.cg);
        const Inertia central(r.inertia, r.inertia, 0); // only the first of them can matter
        const MassProperties mass(r.mass, centre, central.shiftFromMassCenter(centre, r.mass));
        rods[r.name] = MobilizedBody::Pin(carrier, Transform(pinAlongX(), pin), Body::Rigid(mass), Transform(pinAlongX()));
        rodText[r.name] = r;
    }

    // A piston's own frame: origin at the piston pin, x outward along the cylinder, z along the pin.
    void addPiston(const PistonText& p) {
        const Vec3 outward = radial(p.axis), across = radial(p.axis + Pi / 2);
        const Rotation cylinder(UnitVec3(outward), XAxis, UnitVec3(1, 0, 0), ZAxis);
        const Vec3 base = Vec3(rodText.at(p.rod).x, 0, 0) + p.offset * across;
        const MassProperties mass(p.mass, Vec3(0), p.mass * UnitInertia::sphere(0.03));
        MobilizedBody::Slider piston(matter.Ground(), Transform(cylinder, base), Body::Rigid(mass), Transform());
        MobilizedBody& rod = rods.at(p.rod);
        Constraint::PointOnLine(piston, UnitVec3(ZAxis), Vec3(0), rod, Vec3(0, 0, rodText.at(p.rod).length));
        pistons.push_back(piston);
    }

    void guess() {
        const double angle = crank.getAngle(state);
        for (size_t i = 0; i < shafts.size(); ++i) shafts[i].setAngle(state, d.shafts[i].ratio * angle);
        for (const PistonText& p : d.pistons) {
            const RodText& r = rodText.at(p.rod);
            double carried = angle; // direction of the carrier
            for (const PistonText& m : d.pistons)
                if (m.rod == r.carrier) carried = m.axis;
            rods.at(p.rod).setAngle(state, p.axis - carried);
        }
        system.realize(state, Stage::Position);
        std::vector<double> out;
        for (const PistonText& p : d.pistons) {
            const Vec3 small(0, 0, rodText.at(p.rod).length);
            out.push_back(dot(rods.at(p.rod).findStationLocationInGround(state, small), radial(p.axis)));
        }
        for (size_t i = 0; i < pistons.size(); ++i) pistons[i].setLength(state, out[i]);
    }

    // project first asks for an accuracy that Newton's method surely reaches, then takes further full
    // steps down to rounding. A step that can't improve any more is no failure; the errors that are
    // left are reported.
    template <class Step> void project(Step step) {
        Vector none; // no error estimate to be projected along
        ProjectResults results;
        ProjectOptions first(sure);
        first.setOption(ProjectOptions::ForceFullNewton);
        step(none, first, results);
        if (!polish) return;
        ProjectOptions further(polished);
        further.setOption(ProjectOptions::ForceProjection);
        further.setOption(ProjectOptions::ForceFullNewton);
        further.setOption(ProjectOptions::UseInfinityNorm);
        further.setOption(ProjectOptions::DontThrow);
        for (int i = 0; i < 2; ++i) step(none, further, results);
    }

    const Description& d;
    const bool polish;
    MultibodySystem system;
    SimbodyMatterSubsystem matter;
    State state;
    MobilizedBody::Pin crank;
    std::vector<MobilizedBody::Pin> shafts;
    std::map<std::string, MobilizedBody::Pin> rods;
    std::map<std::string, RodText> rodText;
    std::vector<MobilizedBody::Slider> pistons;
    bool assembled = false;
};

// ---------------------------------------------------------------- the run

void run(const std::string& path) {
    const Description d = read(path);
    int major, minor, build;
    SimTK_version_simbody(&major, &minor, &build);
    std::printf("# engine: %s\n", d.name.c_str());
    std::printf("# command: multibody %s\n", path.c_str());
    std::printf("# library: Simbody %d.%d.%d, rigid bodies with loop constraints, no gravity\n", major, minor, build);
    std::printf("# compiler: g++ %s, C++%ld\n", __VERSION__, __cplusplus / 100 % 100);
    std::printf("# settings: speed %.17g rad/s about +x, %d crank angles over %d turn(s), moments about x = %.17g m\n",
                d.speed, d.samples, d.turns, d.reference);
    std::printf("# tolerance: loops projected to %g, then 2 full Newton steps towards %g, at position and velocity level\n",
                CrankTrain::sure, CrankTrain::polished);
    std::printf("# columns: angle_rad force_y_N force_z_N moment_y_Nm moment_z_Nm torque_Nm roll_Nm "
                "energy_J momentum_y_kgm/s momentum_z_kgm/s momentum_about_x_kgm2/s\n");

    CrankTrain train(d, true);
    double forceGap = 0, momentGap = 0, mostForce = 0, mostMoment = 0, along = 0;
    for (int j = 0; j < d.samples; ++j) {
        const double angle = 2 * Pi * d.turns * j / d.samples;
        train.moveTo(angle);
        double roll;
        const SpatialVec ground = train.onGround(roll), rate = train.momentumRate();
        const double drive = train.drive();
        const SpatialVec momentum = train.momentum();
        const double sense = d.speed > 0 ? 1 : -1;
        const double values[] = {angle, ground[1][1], ground[1][2], ground[0][1], ground[0][2],
                                 -drive * sense, roll, train.energy(),
                                 momentum[1][1], momentum[1][2], momentum[0][0]};
        for (size_t i = 0; i < sizeof values / sizeof *values; ++i) std::printf("%s%.17g", i ? " " : "", values[i]);
        std::printf("\n");
        forceGap = std::max(forceGap, (ground[1] - rate[1]).norm());
        momentGap = std::max(momentGap, (ground[0] - rate[0]).norm());
        mostForce = std::max(mostForce, ground[1].norm());
        mostMoment = std::max(mostMoment, ground[0].norm());
        along = std::max(along, std::abs(ground[1][0]));
    }
    std::printf("# loop error at most %.2g m, its rate %.2g m/rad\n", train.loopError, train.rateError);
    std::printf("# joint reactions against the rate of momentum: force differs by at most %.2g N of %.6g N, moment by %.2g N m of %.6g N m\n",
                forceGap, mostForce, momentGap, mostMoment);
    std::printf("# force along the crank at most %.2g N\n", along);
}

// serve answers what it is asked on standard input, a line each:
//     give cycle      force y and z, moment y and z, torque, roll over all crank angles, one behind the other
//     time cycle N    processor time of N cycles with a model that is ready [s]
// A cycle is one revolution; the curves of further ones repeat it. Nothing is done that the curves do not need: loops
// are closed as far as is sure, no more.
void serve(const std::string& path) {
    const Description d = read(path);
    CrankTrain train(d, false);
    const int angles = d.samples / d.turns;
    std::vector<double> curves(6 * d.samples);
    const auto cycle = [&] {
        for (int j = 0; j < angles; ++j) {
            train.moveTo(2 * Pi * j / angles);
            double roll;
            const SpatialVec ground = train.onGround(roll);
            const double values[] = {ground[1][1], ground[1][2], ground[0][1], ground[0][2],
                                     d.speed > 0 ? -train.drive() : train.drive(), roll};
            for (int i = 0; i < 6; ++i)
                for (int k = j; k < d.samples; k += angles) curves[i * d.samples + k] = values[i];
        }
    };
    cycle(); // the first one assembles the model
    std::string word, way;
    for (long count; std::cin >> word >> way && way == "cycle";) {
        if (word == "give") {
            cycle();
            for (const double v : curves) std::printf("%.17g ", v);
            std::printf("\n");
        } else if (word == "time" && std::cin >> count) {
            const std::clock_t from = std::clock();
            for (long i = 0; i < count; ++i) cycle();
            std::printf("%.9f\n", double(std::clock() - from) / CLOCKS_PER_SEC);
        } else throw std::runtime_error("asked for what it does not know: " + word);
        std::fflush(stdout);
    }
}

} // namespace

int main(int argc, char** argv) {
    const bool serving = argc == 3 && argv[1] == std::string("--serve");
    if (argc != 2 && !serving) {
        std::cerr << "usage: multibody INPUT.txt > RAW.txt\n       multibody --serve INPUT.txt\n";
        return 2;
    }
    try {
        if (serving) serve(argv[2]);
        else run(argv[1]);
    } catch (const std::exception& e) {
        std::cerr << "multibody: " << e.what() << "\n";
        return 1;
    }
    return 0;
}
