package ui

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	rc "headroom/core/ridecheck"
)

const (
	measuredOn = "v=1&s=24&p=3&motor=hub65-wide&kpa=150&ctrl=c130&tire=slick-65&rider=95&cruise=32&profile=hills"
	nextBoard  = "v=1&s=16&p=2&cell=18650-energy&ctrl=c75"
)

// measuredBoard has readings of one board, of which one says Stop, and is then opened with another.
func measuredBoard(t *testing.T) (*Planner, map[string]string) {
	t.Helper()
	kept := map[string]string{}
	p := opened(t, measuredOn)
	p.OnKeep = func(name, text string) error { kept[name] = text; return nil }
	p.SetOpen(rideCheckID, true)
	enter(p, rc.FreeSpin, "", "70", "bus", "98")
	enter(p, rc.Duty, "bus", "90", "speed", "30", "", "75")
	enter(p, rc.BoardMass, "", "22")
	work(p)
	require.Len(t, all(show(t, p), carries("data-outcome")), 3)
	assert.Nil(t, find(show(t, p), attribute("data-message", "ride-strangers")))
	return p, kept
}

func strangers(t *testing.T, p *Planner) string {
	t.Helper()
	work(p)
	n := find(show(t, p), attribute("data-message", "ride-strangers"))
	if n == nil {
		return ""
	}
	return tidy(find(n, element("p")))
}

// Readings of one board say nothing about another: neither is the next board judged by them nor fitted to them, over a reload too.
func TestReadingsBelongToABoard(t *testing.T) {
	p, kept := measuredBoard(t)
	again := opened(t, nextBoard)
	again.Recall(func(name string) string { return kept[name] })
	again.SetOpen(rideCheckID, true)
	p.Open(nextBoard)
	for _, p := range []*Planner{p, again} {
		said := strangers(t, p)
		assert.Contains(t, said, "Measured on 24s3p, ")
		assert.Contains(t, said, "; this build is 16s2p, ")
		assert.Contains(t, said, "held against nothing")
		page := show(t, p)
		assert.Empty(t, all(page, carries("data-outcome")), "nothing is judged")
		assert.Empty(t, all(page, carries("data-warns")), "nobody is told to stop")
		assert.Nil(t, find(page, attribute("name", "ride-fit")), "nor can the plan be fitted to them")
		assert.Contains(t, tidy(find(page, attribute("id", "ride-check"))), "3 of another board")
		p.FitRide()
		work(p)
		assert.Empty(t, p.ride.fitting.work.Fit().Rows)
	}
	// Back on the board they are held against it again; a fit changes none of what tells boards apart.
	p.Open(measuredOn + "&kv=15&cellr=20&tirer=90&soh=90")
	assert.Empty(t, strangers(t, p))
	assert.Len(t, all(show(t, p), carries("data-outcome")), 3)

	// Only what differs is named besides cells and motor.
	p.Open(measuredOn + "&cell=18650-iron")
	said := strangers(t, p)
	assert.Regexp(t, ", cell .*; this build is .*, cell ", said)
	assert.NotContains(t, said, ", tire ")
}

func TestReadingsCanBeTakenOverOrRemoved(t *testing.T) {
	p, kept := measuredBoard(t)
	p.Open(nextBoard)
	require.NotEmpty(t, strangers(t, p))
	p.AdoptReadings()
	assert.Empty(t, strangers(t, p))
	assert.Len(t, all(show(t, p), carries("data-outcome")), 3)
	assert.Equal(t, "ride-said", p.Focus)
	assert.Contains(t, kept[KeepRide], "board=16~2~18650-energy")

	require.NotNil(t, find(show(t, p), attribute("name", "ride-clear")), "all can be removed without strangers too")
	before, link := p.ride.written(), p.Link()
	p.RemoveReadings()
	assert.Empty(t, p.ride.rows)
	assert.Empty(t, kept[KeepRide])
	assert.Contains(t, tidy(find(show(t, p), attribute("id", "ride-said"))), "undo brings them back")
	assert.Nil(t, find(show(t, p), attribute("name", "ride-clear")))
	p.Slide("s", "17")
	p.Undo()
	assert.Empty(t, p.ride.rows, "that was the slider")
	p.Undo()
	assert.Equal(t, before, p.ride.written())
	assert.Equal(t, before, kept[KeepRide])
	assert.Equal(t, link, p.Link())
	p.Redo()
	assert.Empty(t, p.ride.rows)
	id := enter(p, rc.Rollout, "", "870")
	p.steps.future = nil
	p.Undo()
	require.Len(t, p.ride.rows, 4, "what came since stays")
	assert.Equal(t, id, p.ride.rows[3].id)

	p.RemoveMeasurement(p.ride.rows[1].id)
	require.Len(t, p.ride.rows, 3)
	p.Undo()
	require.Len(t, p.ride.rows, 4)
	assert.Equal(t, rc.Duty, p.ride.rows[1].kind.ID, "where it was")
	p.Open(nextBoard)
	assert.Len(t, p.ride.rows, 4, "opening what is open takes no step back")
}

// To say of which board readings are is a step of undo of its own: no way back to the other board leaves them on the wrong one.
func TestTakingReadingsOverCanBeUndone(t *testing.T) {
	p, kept := measuredBoard(t)
	before := p.ride.written()
	p.Open(nextBoard)
	require.NotEmpty(t, strangers(t, p))
	steps := len(p.steps.past)
	p.AdoptReadings()
	adopted := p.ride.written()
	require.NotEqual(t, before, adopted)
	require.Len(t, p.steps.past, steps+1)
	said := func() string {
		work(p)
		return tidy(find(show(t, p), attribute("id", "ride-said")))
	}
	assert.Contains(t, said(), "held against this build now")

	p.Slide("s", "17")
	assert.NotContains(t, said(), "held against this build now", "that was another build")
	p.Undo()
	p.Undo()
	assert.Equal(t, before, p.ride.written())
	assert.Equal(t, before, kept[KeepRide])
	assert.NotEmpty(t, strangers(t, p), "the build is still the next one")
	assert.NotContains(t, said(), "held against this build now")
	p.Undo()
	assert.Empty(t, strangers(t, p), "back on the board they were taken on")
	assert.Len(t, all(show(t, p), carries("data-outcome")), 3)

	p.Redo()
	assert.NotEmpty(t, strangers(t, p))
	p.Redo()
	assert.Equal(t, adopted, kept[KeepRide])
	assert.Empty(t, strangers(t, p))

	// The browser's way back walks the build alone, and the readings stay where they were said to be.
	p.Open(measuredOn)
	assert.Equal(t, adopted, p.ride.written())
	assert.NotEmpty(t, strangers(t, p))
	p.AdoptReadings()
	p.RemoveMeasurement(p.ride.rows[0].id)
	p.Undo()
	p.Undo()
	assert.Equal(t, adopted, p.ride.written())
	steps = len(p.steps.past)
	p.Open(nextBoard)
	p.AdoptReadings()
	assert.LessOrEqual(t, len(p.steps.past), steps+1, "nothing to take over is no step")
}

// Readings that were kept before their board was: nobody knows which board they are of, so nobody is told to stop because of them.
func TestOldReadingsAreOfNoKnownBoard(t *testing.T) {
	p := opened(t, "v=1")
	p.SetOpen(rideCheckID, true)
	p.recallRide("kind=rollout&at-=870\nkind=board-mass&at-=17")
	assert.Contains(t, strangers(t, p), "Which board this was measured on was not kept; this build is 18s2p")
	assert.Empty(t, all(show(t, p), carries("data-outcome")))
	p.AdoptReadings()
	assert.Empty(t, strangers(t, p))
	assert.Len(t, all(show(t, p), carries("data-outcome")), 2)
}

func TestAnyBoardOfTheMemoryCanBeRead(t *testing.T) {
	p := opened(t, "v=1")
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringMatching(`-?[0-9]{1,3}~[0-9]{1,3}~[a-z<]{0,9}~[a-z0-9]*~b~c`)).Draw(t, "text")
		b := readBoard(text)
		again := readBoard(b.text())
		require.Equal(t, b, again)
		now := p.board()
		require.NotEmpty(t, b.words(&now))
	})
}

// What a log measured is of the board that it was read for.
func TestALogIsOfItsBoard(t *testing.T) {
	p := opened(t, measuredOn)
	p.SetOpen(rideCheckID, true)
	p.ride.logged, p.ride.loggedOf, p.ride.loggedOn = []rc.Measurement{{Kind: rc.PackResistance, Value: 0.15, At: rc.At{Charge: 0.6}}}, "ride.csv", p.board()
	assert.Contains(t, tidy(find(show(t, p), attribute("data-message", "ride-logged"))), "are fitted too")
	p.Open(nextBoard)
	assert.Contains(t, tidy(find(show(t, p), attribute("data-message", "ride-logged"))), "are of another board and are left out")
	enter(p, rc.BoardMass, "", "12")
	p.FitRide()
	work(p)
	assert.Len(t, p.ride.fitting.work.Fit().Rows, 1)
	assert.Equal(t, "board-mass", string(p.ride.fitting.work.Fit().Rows[0].Kind))
	show(t, p)
}
