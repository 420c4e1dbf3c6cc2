package draw

import (
	"encoding/binary"
	"errors"
	"slices"
)

// errFontTables says that a font file is not built as expected; it is then embedded whole.
var errFontTables = errors.New("the font has no tables of outlines as expected")

// subset returns a font file in which only the glyphs that are used have outlines. Glyphs keep their numbers.
func subset(data []byte, used []int) ([]byte, error) {
	tables, err := fontTables(data)
	if err != nil {
		return nil, err
	}
	head, loca, glyf := tables["head"], tables["loca"], tables["glyf"]
	if len(head) < 54 || len(loca) == 0 || len(glyf) == 0 {
		return nil, errFontTables
	}
	long := binary.BigEndian.Uint16(head[50:]) == 1
	place := func(i int) int {
		switch {
		case long && 4*i+4 <= len(loca):
			return int(binary.BigEndian.Uint32(loca[4*i:]))
		case !long && 2*i+2 <= len(loca):
			return 2 * int(binary.BigEndian.Uint16(loca[2*i:]))
		}
		return -1
	}
	outline := func(i int) []byte {
		from, to := place(i), place(i+1)
		if from < 0 || to < from || to > len(glyf) {
			return nil
		}
		return glyf[from:to]
	}
	keep := map[int]bool{0: true}
	for todo := append([]int{0}, used...); len(todo) > 0; {
		i := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		keep[i] = true
		for _, part := range components(outline(i)) {
			if !keep[part] {
				todo = append(todo, part)
			}
		}
	}
	var newLoca, newGlyf []byte
	for i := 0; place(i) >= 0; i++ {
		newLoca = binary.BigEndian.AppendUint32(newLoca, uint32(len(newGlyf)))
		if keep[i] {
			newGlyf = append(newGlyf, outline(i)...)
			for len(newGlyf)%4 != 0 {
				newGlyf = append(newGlyf, 0)
			}
		}
	}
	head = slices.Clone(head)
	binary.BigEndian.PutUint16(head[50:], 1)
	binary.BigEndian.PutUint32(head[8:], 0)
	out := map[string][]byte{"head": head, "loca": newLoca, "glyf": newGlyf}
	for _, name := range []string{"cmap", "cvt ", "fpgm", "hhea", "hmtx", "maxp", "prep"} {
		if t, ok := tables[name]; ok {
			out[name] = t
		}
	}
	return fontFile(out), nil
}

// fontTables returns the tables of a font file by name.
func fontTables(data []byte) (map[string][]byte, error) {
	if len(data) < 12 {
		return nil, errFontTables
	}
	tables := map[string][]byte{}
	for i := range int(binary.BigEndian.Uint16(data[4:])) {
		if 12+16*i+16 > len(data) {
			return nil, errFontTables
		}
		entry := data[12+16*i:]
		from, n := int(binary.BigEndian.Uint32(entry[8:])), int(binary.BigEndian.Uint32(entry[12:]))
		if from > len(data) || n > len(data)-from {
			return nil, errFontTables
		}
		tables[string(entry[:4])] = data[from : from+n]
	}
	return tables, nil
}

// components returns the glyphs of which a glyph is composed, none where it has outlines of its own.
func components(glyph []byte) []int {
	if len(glyph) < 10 || glyph[0] < 0x80 { // the number of contours is negative for what is composed
		return nil
	}
	var out []int
	for at := 10; at+4 <= len(glyph); {
		flags := binary.BigEndian.Uint16(glyph[at:])
		out = append(out, int(binary.BigEndian.Uint16(glyph[at+2:])))
		at += 6
		if flags&1 != 0 { // places as words
			at += 2
		}
		switch {
		case flags&8 != 0: // one scale
			at += 2
		case flags&0x40 != 0: // one for x and y
			at += 4
		case flags&0x80 != 0: // a matrix
			at += 8
		}
		if flags&0x20 == 0 { // no more
			break
		}
	}
	return out
}

// fontFile writes tables as a font file.
func fontFile(tables map[string][]byte) []byte {
	names := make([]string, 0, len(tables))
	for n := range tables {
		names = append(names, n)
	}
	slices.Sort(names)
	n := len(names)
	power, log := 1, 0
	for 2*power <= n {
		power, log = 2*power, log+1
	}
	out := []byte{0, 1, 0, 0}
	for _, v := range []int{n, 16 * power, log, 16 * (n - power)} {
		out = binary.BigEndian.AppendUint16(out, uint16(v))
	}
	at := 12 + 16*n
	for _, name := range names {
		out = append(out, name...)
		for _, v := range []uint32{checksum(tables[name]), uint32(at), uint32(len(tables[name]))} {
			out = binary.BigEndian.AppendUint32(out, v)
		}
		at += (len(tables[name]) + 3) &^ 3
	}
	headAt := 0
	for _, name := range names {
		if name == "head" {
			headAt = len(out)
		}
		out = append(out, tables[name]...)
		for len(out)%4 != 0 {
			out = append(out, 0)
		}
	}
	binary.BigEndian.PutUint32(out[headAt+8:], 0xB1B0AFBA-checksum(out))
	return out
}

// checksum adds a table up as words.
func checksum(t []byte) uint32 {
	var sum uint32
	for i := 0; i < len(t); i += 4 {
		var word [4]byte
		copy(word[:], t[i:])
		sum += binary.BigEndian.Uint32(word[:])
	}
	return sum
}
