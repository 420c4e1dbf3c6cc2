// Package bearing says what the bearings of a crank train carry, what room they have along the crank, and how
// thick an oil film keeps the metals apart. All of it is for concept work: rigid bodies at a constant speed, a
// crank that bends like a stepped beam, round bearings that do not deform. It tells which of two layouts is kinder
// to its bearings and where the trouble sits; it does not release a bearing for manufacture.
//
// The forces follow from the exact motion, link by link, with no mass moved from its place. With P the force of the
// rod on the piston pin and B the force of the crankpin on the rod, in the frame of the cylinder (real part outward
// along its axis),
//
//	piston   m_p a_p = −(p − p0) A + P + i N            N from the bore, so the bore feels Im P
//	rod      m_r a_g = B − P − Σ B_k                    B_k on the rods that its knuckle pins carry
//	         J χ'' ω² + g × m_r a_g = −d × P − Σ k × B_k   about the crankpin; g, d, k to mass, piston pin, knuckle
//
// Linked rods are solved before their master. What the rods and the masses that turn with the crank load onto it goes
// to the main bearings in one of two ways: each bay as a simple beam between its two mains, which needs statics alone
// and lets no bay feel its neighbours; or, by default, the crank as a continuous stepped beam on elastic supports.
// Either keeps force and moment in balance at every angle. The beam bends alike in all planes, so the shares are
// constant and the loads at every angle are a sum.
//
// Forces in the plane are complex numbers y + i·z in the block's frame, of the part that loads on the part that is
// loaded: rod on crankpin, journal on bearing. Polar diagrams turn them into the frame of crank or rod.
//
// The oil film, file by file: viscosity.go has the oils; film.go what a film is and what it carries; mobility.go how fast
// a journal gives way, that of the short bearing in closed form (mobility_short.go) corrected for width by a table which
// Reynolds' equation on a mesh (film_reynolds.go) has filled once (go generate); film_orbit.go follows the journal until
// its path repeats, film_heat.go warms the oil by its own friction, steady.go is the load that stays, which the tables know.
package bearing
