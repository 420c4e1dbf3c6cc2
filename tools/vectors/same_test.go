package main

import "testing"

func TestSame(t *testing.T) {
	const text = `{"force_N": [229.3206051714333, 1e4], "made": "here", "known": true}`
	for _, c := range []struct {
		name, other string
		want        bool
	}{
		{"its like", text, true},
		{"last digits", `{"force_N": [229.3206051714342, 10000.0000000001], "made": "here", "known": true}`, true},
		{"laid out otherwise", `{"known":true,"made":"here","force_N":[229.3206051714333,10000]}`, true},
		{"a number", `{"force_N": [229.32060, 1e4], "made": "here", "known": true}`, false},
		{"a sign", `{"force_N": [-229.3206051714333, 1e4], "made": "here", "known": true}`, false},
		{"one number less", `{"force_N": [229.3206051714333], "made": "here", "known": true}`, false},
		{"a word", `{"force_N": [229.3206051714333, 1e4], "made": "there", "known": true}`, false},
		{"another key", `{"force_N": [229.3206051714333, 1e4], "made": "here", "kept": true}`, false},
		{"a word for a number", `{"force_N": ["229.3206051714333", 1e4], "made": "here", "known": true}`, false},
		{"half a text", text[:40], false},
	} {
		if got := same([]byte(text), []byte(c.other)); got != c.want {
			t.Errorf("%s: same is %v, want %v", c.name, got, c.want)
		}
	}
}
