package parts

// Group is a chapter of a parts list.
type Group string

// The groups, in the order in which a list has them.
const (
	HeadGroup    Group = "heads and valves"
	BlockGroup   Group = "block and crankcase"
	CrankGroup   Group = "crank train"
	BalanceGroup Group = "balance shafts"
	FaceGroup    Group = "machined faces"
	PipeGroup    Group = "manifolds"
	SealGroup    Group = "gaskets and seals"
	OtherGroup   Group = "fuel, ignition, pumps"
)

// Groups lists the groups [-]. Definition.
func Groups() []Group {
	return []Group{HeadGroup, BlockGroup, CrankGroup, BalanceGroup, FaceGroup, PipeGroup, SealGroup, OtherGroup}
}

// Metre is the unit of what is counted by length, Piece that of the rest.
const (
	Piece = "1"
	Metre = "m"
)

// Kind is a kind of part that is counted and priced.
type Kind struct {
	Key    string // as in a price table
	Group  Group
	Unit   string  // Piece or Metre
	Each   float64 // points in the invented price table, of a piece or a metre [1]
	PerKg  float64 // points for a kilogram, where the mass is known [1/kg]
	Joined bool    // a face or an operation, no part in the box
}

// Kinds lists every kind of part, in the order of a parts list, with the invented points of the usual price table.
//
// Result: points by [1], [m] and [kg]. Definition: the points are invented; they stand in no relation to any maker's prices.
func Kinds() []Kind {
	piece := func(g Group, each float64, key string) Kind { return Kind{Key: key, Group: g, Unit: Piece, Each: each} }
	metre := func(g Group, each float64, key string) Kind { return Kind{Key: key, Group: g, Unit: Metre, Each: each} }
	face := func(each float64, key string) Kind {
		return Kind{Key: key, Group: FaceGroup, Unit: Piece, Each: each, Joined: true}
	}
	weighed := func(g Group, each, perKg float64, key string) Kind {
		return Kind{Key: key, Group: g, Unit: Piece, Each: each, PerKg: perKg}
	}
	return []Kind{
		weighed(HeadGroup, 55, 4, "cylinder head"),
		piece(HeadGroup, 6, "head cover"),
		piece(HeadGroup, 18, "camshaft"),
		piece(HeadGroup, 1.2, "camshaft bearing"),
		piece(HeadGroup, 2.2, "valve"),
		piece(HeadGroup, 1.6, "pushrod"),
		piece(HeadGroup, 9, "camshaft drive"),
		metre(HeadGroup, 7, "drive chain"),
		metre(HeadGroup, 9, "drive belt"),
		piece(HeadGroup, 7, "drive gear"),
		weighed(BlockGroup, 70, 2.5, "block casting"),
		weighed(BlockGroup, 14, 4, "barrel"),
		piece(BlockGroup, 4, "main bearing cap"),
		piece(BlockGroup, 32, "bedplate"),
		piece(BlockGroup, 10, "sump"),
		weighed(CrankGroup, 30, 3, "crank"),
		piece(CrankGroup, 4, "crankpin"),
		piece(CrankGroup, 2.5, "web"),
		piece(CrankGroup, 2, "counterweight"),
		piece(CrankGroup, 5, "main bearing"),
		piece(CrankGroup, 3.5, "big-end bearing"),
		piece(CrankGroup, 3, "knuckle pin"),
		weighed(CrankGroup, 6, 9, "plain rod"),
		weighed(CrankGroup, 22, 9, "master rod"),
		weighed(CrankGroup, 5, 9, "linked rod"),
		weighed(CrankGroup, 6, 10, "piston"),
		piece(BalanceGroup, 16, "balance shaft"),
		piece(BalanceGroup, 5, "balance gear"),
		piece(BalanceGroup, 2, "balance bearing"),
		face(5, "deck face"),
		face(4, "head face"),
		face(3, "bearing tunnel"),
		face(1.2, "cap face"),
		face(6, "split face"),
		face(4, "sump face"),
		face(4, "front face"),
		face(4, "rear face"),
		face(1.5, "flange face"),
		face(2, "flying web side"),
		face(2.5, "honed bore"),
		weighed(PipeGroup, 9, 3, "exhaust manifold"),
		metre(PipeGroup, 6, "exhaust pipe"),
		piece(PipeGroup, 10, "intake manifold"),
		metre(PipeGroup, 3, "intake pipe"),
		piece(SealGroup, 4, "head gasket"),
		piece(SealGroup, 1.5, "cover gasket"),
		piece(SealGroup, 0.8, "port gasket"),
		piece(SealGroup, 1.5, "case gasket"),
		piece(SealGroup, 2, "shaft seal"),
		piece(OtherGroup, 8, "injector"),
		piece(OtherGroup, 1.2, "spark plug"),
		piece(OtherGroup, 4, "ignition coil"),
		piece(OtherGroup, 5, "fuel rail"),
		piece(OtherGroup, 45, "injection pump"),
		piece(OtherGroup, 8, "oil pump"),
		piece(OtherGroup, 9, "water pump"),
		piece(OtherGroup, 12, "fan"),
		piece(OtherGroup, 5, "air cowl"),
	}
}

// Row is one line of a parts list.
type Row struct {
	Kind
	Count float64 // pieces [1], or length [m]
	From  string  // from what it was counted
	Mass  float64 // of all of them [kg]; 0: unknown
}
