// Package gas says how the working gas pushes on one piston: a cycle of compression, combustion, expansion and
// exchange of the charge, in one zone.
//
// One zone means that pressure, temperature and mixture are the same everywhere in the cylinder. Three numbers are
// its state: temperature T, mass m and the share b of it that has burned. They follow from the first law,
//
//	m c_v T' = Q x' − Q_wall' − p V' + Σ (h_in − u) m_in' − R T m_out' − m u_b b'      p V = m R T
//
// by crank angle. The volume V is the exact one of the linkage (Chamber), the gas is a Fluid, x is the share of
// the heat that has been released (Release, a sum of Wiebe functions), the walls take heat by the correlation of
// Woschni (Wall), and the charge flows through the effective areas of valves or ports as through isentropic nozzles
// between manifolds at constant pressure (Valves). Without Valves the exchange is ideal: at bottom dead centre the
// spent gas is replaced, and the strokes between run at the pressures of the manifolds.
//
// Solve marches through cycles until one ends as it began, and returns that Result with its balance of energy;
// SolveIMEP finds the fuel or the pressure of the intake for a wanted mean effective pressure. The closed forms of
// the air-standard cycles are here too: they are the limit of the model without losses and with instantaneous heat.
//
// What the model leaves out: waves in the pipes, so that no exchange is tuned; what flows back into the intake
// does not come in again; fuel that has not burned counts as air; dissociation is only in the properties; a rich
// mixture releases what its air can burn, and what combustion leaves unburned is a given share.
//
// Crank angles count from firing top dead centre, where the piston stands furthest out.
package gas
