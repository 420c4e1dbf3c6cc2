// Package parts counts what an engine is made of: which parts, how many, how long their drives and pipes, which faces are
// machined; what each rubs, what the whole costs beside another engine, how its places are reached, and where it is hottest.
//
// The chapter in the order in which it is best read:
//
//   - stand.go: how the cylinders stand: banks, stars, narrow vees, decks;
//   - making.go: what the engineer left open of the making, and what is usual;
//   - loop.go: the length of a belt or chain about its wheels;
//   - drives.go: camshafts, and what turns them;
//   - pipes.go: exhaust and intake manifolds by group, runners and crossovers;
//   - list.go, count.go, countblock.go: the parts, each counted from the train with the reason;
//   - rubbing.go: the friction of the chapter torque, by the parts that rub;
//   - price.go, cost.go: points for what was counted, and what makes one engine dearer than another;
//   - service.go: the routine jobs, from where each is reached and what must come off;
//   - cooling.go: the way of the coolant or the air, and the cylinder that is worst placed.
//
// # The one idea
//
// Nothing is asserted of an arrangement. A head, a camshaft drive, a main bearing or a machined face is there because a
// bank, a bay or a rod of the train needs it, so that an engine nobody has built is counted like any other.
//
// # What it is not
//
// Rules of making are common practice, prices are invented points, and the scores of service and cooling are indicators
// whose rules are written beside them. They tell layouts apart; an offer, a drawing and a measurement decide.
package parts
