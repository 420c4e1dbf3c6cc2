package study

// Problem is what can be searched: a space, and what is wanted of its candidates. Everything that it returns is the same
// at every call and on every machine.
type Problem interface {
	Space() Space
	Columns() []Column // what every kept candidate has, besides its number
	Aims() []Aim       // what is wanted; at least one
	Rules() []string   // for what reasons a candidate can be left out, in words
	Digest() string    // changes with anything on which a result depends
	Pace() int         // candidates that one processor does in about a second, roughly
	// Evaluator returns one for a goroutine of its own.
	Evaluator() Evaluator
}

// Evaluator evaluates candidates. It is not for concurrent use.
type Evaluator interface {
	// Evaluate looks at every candidate of the range, in sequence. Those that no rule leaves out are appended to kept,
	// the others are counted by the rule that comes first. stop is asked now and then; where it is true, Evaluate returns
	// ErrStopped, and what it has done of the range counts for nothing. Any other error ends the search.
	Evaluate(r Shard, kept *Batch, left []Count, stop func() bool) error
	// Pick looks at the candidates of a list, which ascends, as Evaluate does at those of a range.
	Pick(list []uint64, kept *Batch, left []Count, stop func() bool) error
}

// Column is one value of every candidate.
type Column struct {
	Key  string // such as layout.bank_angle or free_force_order_2
	Name string // in words
	Unit string // of the values; 1 where there is none
	Kind Kind
	// Texts are the values of an axis in words, such as 90 deg; a row then has the index of its text. Nil: a number.
	Texts []string
}

// Kind says where the values of a column come from.
type Kind int

// The kinds of columns.
const (
	Input  Kind = iota // an axis of the space
	Figure             // computed
)

// Aim is a column of which less is better, or more.
type Aim struct {
	Column int // index into Columns
	More   bool
}

// Bundle is all the files that a study needs, so that it can be sent to another machine or kept beside its results.
type Bundle struct {
	Study string            // name of the study file among Files
	Files map[string][]byte // by the name that the study and its base use
}
