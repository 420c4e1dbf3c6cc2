package report

import (
	"bytes"
	"encoding/csv"
	"strconv"
	"strings"

	"crankwright/analysis"
)

// CSV returns the figures of several results as comma-separated values: a head line with units in the
// names, then one line an engine. Numbers have all their digits and a point; a figure that an engine does not have
// is an empty cell; lines end as RFC 4180 wants.
func CSV(rs []*analysis.Result) ([]byte, error) {
	head := []string{"name", "arrangement", "cylinders", "speed_rpm", "estimated_values"}
	rows := [][]string{nil}
	first, at := len(head), map[string]int{}
	for _, r := range rs {
		for _, f := range r.Figures() {
			if _, known := at[f.Key]; !known {
				at[f.Key] = len(head)
				head = append(head, f.Key+unitSuffix(f.Unit))
			}
		}
	}
	for _, r := range rs {
		row := []string{
			r.Train.Name, string(r.Train.Arrangement), strconv.Itoa(len(r.Train.Cylinders)),
			number(rpm(r.Speed)), strconv.Itoa(len(r.Train.Estimates)),
		}
		row = append(row, make([]string, len(head)-first)...)
		for _, f := range r.Figures() {
			row[at[f.Key]] = number(tidy(noMinusZero(f.Value)))
		}
		rows = append(rows, row)
	}
	rows[0] = head
	return WriteCSV(rows)
}

// SweepCSV returns the balance of one engine over speed: one line a speed.
func SweepCSV(points []analysis.SweepPoint) ([]byte, error) {
	rows := [][]string{{"speed_rpm", "mean_piston_speed_m_per_s", "peak_force_N", "peak_moment_Nm", "peak_inertia_torque_Nm", "peak_roll_Nm"}}
	for _, o := range firstOrders(points) {
		rows[0] = append(rows[0], "force_order_"+o+"_N", "moment_order_"+o+"_Nm")
	}
	for _, p := range points {
		row := []string{number(rpm(p.Speed)), number(p.MeanPistonSpeed), number(p.Force), number(p.Moment), number(p.Torque), number(p.Roll)}
		for _, o := range p.Orders {
			row = append(row, number(o.Force.Ellipse.Major), number(o.Moment.Ellipse.Major))
		}
		rows = append(rows, row)
	}
	return WriteCSV(rows)
}

func firstOrders(points []analysis.SweepPoint) []string {
	var out []string
	if len(points) > 0 {
		for _, o := range points[0].Orders {
			out = append(out, orderShown(o.K))
		}
	}
	return out
}

// CurvesCSV returns the time histories of one engine: one line a crank angle.
func CurvesCSV(r *analysis.Result) ([]byte, error) {
	rows := [][]string{{"angle_deg", "force_y_N", "force_z_N", "moment_y_Nm", "moment_z_Nm", "inertia_torque_Nm", "roll_Nm"}}
	c := r.Curves
	for j, a := range r.Angles {
		row := []string{number(deg(a))}
		for _, v := range []float64{c.ForceY[j], c.ForceZ[j], c.MomentY[j], c.MomentZ[j], c.Torque[j], c.Roll[j]} {
			row = append(row, number(noMinusZero(v)))
		}
		rows = append(rows, row)
	}
	return WriteCSV(rows)
}

// WriteCSV returns rows of cells as comma-separated values. A text that a spreadsheet would take for a formula has an apostrophe in
// front: names come from files, and files from strangers.
func WriteCSV(rows [][]string) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	for _, row := range rows {
		safe := make([]string, len(row))
		for i, text := range row {
			safe[i] = plainCell(text)
		}
		if err := w.Write(safe); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}

// plainCell is a text or a number as it stands in a table. What begins with one of these characters is a formula to some spreadsheet,
// also behind blanks; a number is not.
func plainCell(text string) string {
	start := strings.TrimLeft(text, " \u00a0")
	if start == "" || !strings.ContainsRune("=+-@\t\r\n＝＋－＠", []rune(start)[0]) {
		return text
	}
	if _, err := strconv.ParseFloat(text, 64); err == nil {
		return text
	}
	return "'" + text
}

// unitSuffix is how a unit stands at the end of a key.
func unitSuffix(unit string) string {
	switch unit {
	case "1", "":
		return ""
	case "N m":
		return "_Nm"
	case "cm³":
		return "_cm3"
	case "m/s":
		return "_m_per_s"
	case "µm":
		return "_um"
	case "kg m²":
		return "_kgm2"
	case "%":
		return "_pct"
	default:
		return "_" + unit
	}
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// TorqueCSV returns the curves of a torque: one line a crank angle.
func TorqueCSV(d *TorqueDoc) ([]byte, error) {
	c := d.Curves
	head := []string{"angle_deg", "gas_Nm", "inertia_Nm", "total_Nm"}
	if c.SpeedRPM != nil {
		head = append(head, "crank_speed_rpm")
	}
	for _, o := range c.Cylinders {
		head = append(head, "gas_"+o.Name+"_Nm", "inertia_"+o.Name+"_Nm")
	}
	rows := [][]string{head}
	for j, a := range c.AngleDeg {
		row := []string{number(a), number(c.GasNm[j]), number(c.InertiaNm[j]), number(c.TotalNm[j])}
		if c.SpeedRPM != nil {
			row = append(row, number(c.SpeedRPM[j]))
		}
		for _, o := range c.Cylinders {
			row = append(row, number(o.GasNm[j]), number(o.InertiaNm[j]))
		}
		rows = append(rows, row)
	}
	return WriteCSV(rows)
}

// GasCSV returns working cycles: one line a crank angle from firing top dead centre and cycle.
func GasCSV(d *GasDoc) ([]byte, error) {
	rows := [][]string{{"cylinders", "angle_deg", "pressure_bar", "volume_cm3", "temperature_K", "released_pct"}}
	for _, y := range d.Cycles {
		for j, a := range y.Curves.AngleDeg {
			row := []string{strings.Join(y.Cylinders, " "), number(a), number(y.Curves.PressureBar[j]), number(y.Curves.VolumeCM3[j]), "", ""}
			if y.Curves.TemperatureK != nil {
				row[4] = number(y.Curves.TemperatureK[j])
			}
			if y.Curves.BurnedPct != nil {
				row[5] = number(y.Curves.BurnedPct[j])
			}
			rows = append(rows, row)
		}
	}
	return WriteCSV(rows)
}

// PowerCSV returns a power curve: one line a speed.
func PowerCSV(d *PowerDoc) ([]byte, error) {
	rows := [][]string{{
		"speed_rpm", "torque_Nm", "power_kW", "imep_bar", "fmep_bar", "bmep_bar", "mechanical_pct", "volumetric_pct", "indicated_pct",
		"peak_bar", "mean_piston_speed_m_per_s", "gas_rms_Nm", "inertia_rms_Nm", "total_rms_Nm", "inertia_over_gas_1", "fluctuation_pct",
	}}
	for _, p := range d.Points {
		var row []string
		for _, v := range []float64{
			p.SpeedRPM, p.TorqueNm, p.PowerKW, p.IMEPBar, p.FMEPBar, p.BMEPBar, p.MechanicalPct, p.VolumetricPct, p.IndicatedPct,
			p.PeakBar, p.PistonSpeed, p.GasNm, p.InertiaNm, p.TotalNm, p.Ratio, p.Fluctuation,
		} {
			row = append(row, number(v))
		}
		rows = append(rows, row)
	}
	return WriteCSV(rows)
}
