package tiny

import "testing"

func TestSign(t *testing.T) {
	for v, want := range map[int]string{-1: "below", 0: "zero", 1: "above"} {
		if got := Sign(v); got != want {
			t.Errorf("%d: %s", v, got)
		}
	}
}

func TestCap(t *testing.T) {
	if Cap(9) != 9 || Cap(12) != 10 {
		t.Error("not capped")
	}
}
