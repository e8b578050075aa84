package ui

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core/ridelog"
)

// beside stands in for the program beside the page: it gets its orders as bytes, as a thread does.
type beside struct {
	p       *Planner
	orders  []LogOrder
	stopped int
	none    bool // no thread can be had
}

func (s *beside) source(d *desktop, name, text string) *Source {
	file := d.file(name, text)
	file.Apart = func(o LogOrder) func() {
		if s.none {
			return nil
		}
		share, err := ReadShare((&Share{Log: &o}).Bytes())
		if err != nil || share.Log == nil || share.Find != nil {
			panic("the order did not arrive")
		}
		s.orders = append(s.orders, *share.Log)
		return func() { s.stopped++ }
	}
	return file
}

// read is what the program would tell of a log at its end.
func (s *beside) read(t *testing.T, text string) []byte {
	t.Helper()
	order := s.orders[len(s.orders)-1]
	r, err := order.Reader()
	require.NoError(t, err)
	r.Feed([]byte(text))
	ride, failure := r.Finish()
	return (&LogNews{Ride: &ride, Failure: failure}).Bytes()
}

// A log that a program beside the page read is shown as one that the page read itself, down to what is missing in it.
func TestRideLogReadApart(t *testing.T) {
	text := example(t)
	here := opened(t, "v=1&s=18&rider=95")
	d := &desktop{p: here}
	here.OpenLog(d.file("ride_log.csv", text), "")
	d.run()

	p := opened(t, "v=1&s=18&rider=95")
	s := &beside{p: p}
	d = &desktop{p: p}
	p.OpenLog(s.source(d, "ride_log.csv", text), "")
	require.True(t, p.ReadingApart())
	assert.Empty(t, d.later, "the page reads nothing itself")
	assert.True(t, p.TakeLogNews((&LogNews{Done: len(text) / 2}).Bytes()))
	assert.Equal(t, 49, p.log.percent)
	assert.False(t, p.TakeLogNews((&LogNews{Done: len(text) / 2}).Bytes()), "nothing to be seen of it")
	assert.True(t, p.TakeLogNews(s.read(t, text)))
	assert.False(t, p.log.reading)
	assert.Equal(t, 1, s.stopped)
	assert.Equal(t, fmt.Sprintf("%+v", here.log.layout), fmt.Sprintf("%+v", p.log.layout))
	a, b := show(t, here), show(t, p)
	assert.Equal(t, tidy(find(a, attribute("id", "ride-log"))), tidy(find(b, attribute("id", "ride-log"))))
	for i, plot := range here.logPlots() {
		assert.Equal(t, plot.File(), p.logPlots()[i].File(), plot.ID)
	}
	assert.False(t, p.TakeLogNews(s.read(t, text)), "nobody waits")
	p.LogBroke()
	assert.NotNil(t, p.log.ride, "nobody waits for that either")

	// Columns corrected by hand go with the next order.
	p.UseColumn(0, fmt.Sprint(int(ridelog.None)))
	p.ReadLogAgain()
	require.Len(t, s.orders, 2)
	assert.Equal(t, ridelog.None, s.orders[1].Layout.Columns[0].Quantity)
	assert.True(t, p.TakeLogNews(s.read(t, text)))
	assert.Contains(t, p.log.failure, "time")
	assert.True(t, p.IsOpen(columnsID))
}

// What goes wrong beside the page, the page does itself; what is given up is ended.
func TestRideLogWithoutAProgramBesideThePage(t *testing.T) {
	text := example(t)
	p := opened(t, "v=1")
	s, d := &beside{p: p, none: true}, &desktop{p: p}
	p.OpenLog(s.source(d, "ride_log.csv", text), "")
	assert.False(t, p.ReadingApart())
	d.run()
	require.NotNil(t, p.log.ride)

	for name, fault := range map[string]func(){
		"a fault of the thread": p.LogBroke,
		"damaged news":          func() { assert.True(t, p.TakeLogNews([]byte("no news"))) },
	} {
		s = &beside{p: p}
		p.OpenLog(s.source(d, "ride_log.csv", text), "")
		require.True(t, p.ReadingApart(), name)
		p.TakeLogNews((&LogNews{Done: len(text) / 2}).Bytes())
		fault()
		assert.False(t, p.ReadingApart(), name)
		assert.Equal(t, 1, s.stopped, name)
		assert.Zero(t, p.log.percent, "from the beginning")
		d.run()
		require.NotNil(t, p.log.ride, name)
		assert.Equal(t, 4560, p.log.ride.Used, name)
	}

	s = &beside{p: p}
	p.OpenLog(s.source(d, "ride_log.csv", text), "")
	assert.True(t, p.TakeLogNews((&LogNews{Why: FileChanged}).Bytes()))
	assert.Equal(t, "The file could not be read to its end: it has changed.", p.log.said)
	assert.Equal(t, 1, s.stopped)

	p.OpenLog(s.source(d, "ride_log.csv", text), "")
	p.CancelLog()
	assert.Equal(t, 2, s.stopped)
	assert.False(t, p.TakeLogNews(s.read(t, text)))
	assert.Nil(t, p.log.ride)

	// Another file ends the reading of the one before.
	p.OpenLog(s.source(d, "ride_log.csv", text), "")
	p.OpenLog(s.source(d, "other.csv", strings.ToUpper(text)), "")
	assert.Equal(t, 3, s.stopped)
	assert.True(t, p.TakeLogNews(s.read(t, text)))
	assert.Equal(t, "other.csv", p.log.file.Name)
}

func TestShareThatIsDamaged(t *testing.T) {
	_, err := ReadShare([]byte("x"))
	assert.Error(t, err)
	_, err = (&LogOrder{Link: "v=1&s=0"}).Reader()
	assert.NoError(t, err, "a link is always some board")
}
