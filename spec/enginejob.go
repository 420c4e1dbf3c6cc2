package spec

// This file holds the types of a job of the balancing shop. Their doc comments describe its keys, so they speak to the
// person who writes the file.

// BalanceJob is a job of the balancing shop, a file *.balance.yaml: what the machine measured in two planes, what may
// stay, and where metal may go or come.
type BalanceJob struct {
	Mark `yaml:"-"`
	// What the job is called in results.
	Name Text `yaml:"name"`
	// The balance quality that is asked for; left out: each plane says what may stay in it.
	Permissible JobPermissible `yaml:"permissible"`
	// The two planes in which the machine measures.
	Planes []JobPlane `yaml:"planes"`
	// The places where metal may go or come.
	Sites []JobSite `yaml:"sites"`
}

// JobPermissible is the balance quality that is asked for, where the planes do not give amounts.
type JobPermissible struct {
	Mark `yaml:"-"`
	// Balance quality grade, such as G16.
	Grade Text `yaml:"grade"`
	// Mass of the rotor.
	Mass Quantity[Mass] `yaml:"mass" limit:"positive"`
	// Highest speed in service.
	Speed Quantity[Speed] `yaml:"speed" limit:"positive"`
	// Axial place of the centre of gravity; left out: the middle of the planes.
	CentreOfGravity Quantity[Length] `yaml:"centre_of_gravity"`
}

// JobPlane is one plane of the balancing machine.
type JobPlane struct {
	Mark `yaml:"-"`
	// What the plane is called; left out: A and B.
	Name Text `yaml:"name"`
	// Axial place.
	At Quantity[Length] `yaml:"at"`
	// Mass times radius that was measured.
	Unbalance Quantity[Moment] `yaml:"unbalance" limit:"not negative"`
	// Direction of the heavy side.
	Angle Quantity[Angle] `yaml:"angle"`
	// What may stay in this plane; left out: its part of permissible.
	Permissible Quantity[Moment] `yaml:"permissible" limit:"positive"`
}

// JobSite is a place where the rotor may be corrected.
type JobSite struct {
	Mark `yaml:"-"`
	// What the place is called.
	Name Text `yaml:"name"`
	// What is done there: a hole or a slug of heavy metal in it, radial or axial, or a mass taken off or put on.
	Way Word[wayWords] `yaml:"way"`
	// Axial place.
	At Quantity[Length] `yaml:"at"`
	// Direction of the place.
	Angle Quantity[Angle] `yaml:"angle"`
	// Crank axis to the surface for a radial hole, else to the middle of the hole or mass.
	Radius Quantity[Length] `yaml:"radius" limit:"positive"`
	// Hole: its diameter.
	Diameter Quantity[Length] `yaml:"diameter" limit:"positive"`
	// Hole: how deep it may be.
	Deepest Quantity[Length] `yaml:"deepest" limit:"positive"`
	// Hole: density of the metal that goes; slug: by how much its metal is heavier than the rotor's.
	Density Quantity[Density] `yaml:"density" limit:"positive"`
	// Mass taken off or put on: how much at most.
	Most Quantity[Mass] `yaml:"most" limit:"positive"`
}

type wayWords struct{}

func (wayWords) words() []string {
	return []string{"radial hole", "axial hole", "radial slug", "axial slug", "mass off", "mass on"}
}
