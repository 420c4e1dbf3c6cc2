package num

import "testing"

func TestWords(t *testing.T) {
	for got, want := range map[string]string{
		Counted(0, "throw", "throws"):                     "0 throws",
		Counted(1, "analysis", "analyses"):                "1 analysis",
		Counted(uint64(1<<63), "candidate", "candidates"): "9223372036854775808 candidates",
		"none: " + List(nil, "and"):                       "none: ",
		List([]string{"1"}, "and"):                        "1",
		List([]string{"1", "4"}, "or"):                    "1 or 4",
		List([]string{"1", "2", "3"}, "and"):              "1, 2 and 3",
		"empty: " + Capital(""):                           "empty: ",
		Capital("übermaß"):                                "Übermaß",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
