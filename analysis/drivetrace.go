package analysis

// measure takes the measured pressure of the file, where it has one.
func (d *Driver) measure() error { return nil }

// measuredCycles puts the measured pressures into r.
func (d *Driver) measuredCycles(*Drive) error { return nil }
