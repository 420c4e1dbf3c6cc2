package sound

import "testing"

// One second at 48 000 samples a second.

func BenchmarkRenderVeeEight(b *testing.B) {
	m := impulses(b, crossVee(), nil)
	for b.Loop() {
		render(b, m, Setting{Speed: 3000 * rpm, Load: 1, Seconds: 1, Scatter: UsualScatter})
	}
}

func BenchmarkRampVeeEight(b *testing.B) {
	m := impulses(b, crossVee(), nil)
	for b.Loop() {
		render(b, m, Setting{Speed: 1000 * rpm, To: 6000 * rpm, Load: 1, Seconds: 1, Scatter: UsualScatter})
	}
}

func BenchmarkLoopVeeEight(b *testing.B) {
	m := impulses(b, crossVee(), nil)
	for b.Loop() {
		loop(b, m, Setting{Speed: 3000 * rpm, Load: 1, Seconds: 1, Stereo: true, Scatter: UsualScatter})
	}
}

func BenchmarkOrdersVeeEight(b *testing.B) {
	m := impulses(b, crossVee(), nil)
	for b.Loop() {
		spectrum(b, m, Setting{Speed: 3000 * rpm, Load: 1}, 48)
	}
}

func BenchmarkWAV(b *testing.B) {
	x := render(b, impulses(b, crossVee(), nil), Setting{Speed: 300, Load: 1, Seconds: 1, Stereo: true})
	for b.Loop() {
		if _, err := WAV(x, UsualRate); err != nil {
			b.Fatal(err)
		}
	}
}
