package ui

import (
	"slices"
	"strconv"

	"headroom/core/build"
	finds "headroom/core/find"
	"headroom/core/link"
	"headroom/core/price"
	"headroom/core/quote"
	"headroom/ui/internal/parcel"
)

// FindOrder is one share of a search, for a program beside the page.
type FindOrder struct {
	Link   string // of the board that everything else is taken from
	Wishes string
	Shard  int
	Shards int
	Prices price.List // empty where there is none
	Quote  quote.Settings
}

// FindNews is what such a program tells: how far it is, and what it has found whenever that has changed.
type FindNews struct {
	Shard  int
	Tally  finds.Tally
	Result *finds.Result // nil where nothing was found since the last
	Done   bool
}

// Bytes is the news as it crosses to the page.
func (n *FindNews) Bytes() []byte { return parcel.Pack(*n) }

// Search begins the search that an order asks for.
func (o *FindOrder) Search() (*finds.Search, error) {
	l := link.Decode(o.Link)
	t, _ := finds.Read(l.Build, o.Wishes) // read here before, so nothing is wrong with them
	t.Price = pricerOf(o.Prices, &o.Quote)
	return finds.NewSearch(t, o.Shard, o.Shards)
}

// findRun is one search, going on or done.
type findRun struct {
	base   build.Build
	text   string
	parts  []finds.Result
	done   []bool
	here   *finds.Search // in the page's own thread; nil where programs beside it do the work
	pieces int
	merged *finds.Result // of parts; nil when one of them has changed
	ended  bool
	word   string // how it ended
}

// StartFind begins a search, unless something typed cannot be used.
func (p *Planner) StartFind() {
	f := &p.finds
	f.turned()
	p.StopFind()
	f.refuse = ""
	for _, key := range findKeys() {
		if d, ok := f.typed[key]; ok && d.message != "" {
			f.refuse = "Mend this first: " + d.message
			return
		}
	}
	task, problems := p.findTask()
	if len(problems) > 0 {
		f.refuse = problems[0].Text
		return
	}
	f.rows, f.at = findFirst, 0
	f.run = &findRun{base: p.Build, text: f.text()}
	if p.OnFind != nil {
		order := FindOrder{Link: link.Encode(&p.Build, nil), Wishes: f.text(), Prices: p.prices.list, Quote: *p.quoting.now()}
		if shards := p.OnFind(order); shards > 0 {
			f.run.parts, f.run.done = make([]finds.Result, shards), make([]bool, shards)
			return
		}
	}
	p.findHere(task)
}

// findHere searches between the frames.
func (p *Planner) findHere(task finds.Task) {
	f := &p.finds
	search, err := finds.NewSearch(task, 0, 1)
	if err != nil {
		f.run, f.refuse = nil, upperFirst(err.Error())
		return
	}
	f.run.here, f.run.parts, f.run.done = search, make([]finds.Result, 1), make([]bool, 1)
	f.run.parts[0] = search.Result()
}

// TakeFindNews takes what a program beside the page tells; ok is false where nobody waits for it.
func (p *Planner) TakeFindNews(b []byte) (ok bool) {
	defer func() {
		if v := recover(); v != nil {
			p.finds.run = nil
			p.finds.turned()
			p.Fail(v)
		}
	}()
	r := p.finds.run
	if r == nil || r.ended || r.here != nil {
		return false
	}
	var news FindNews
	if err := parcel.Unpack(b, &news); err != nil || news.Shard < 0 || news.Shard >= len(r.parts) {
		p.FindBroke()
		return false
	}
	p.finds.turned()
	part := &r.parts[news.Shard]
	if news.Result != nil {
		*part, r.merged = *news.Result, nil
	}
	part.Tally.Builds, part.Tally.Branch, part.Tally.Looked, part.Tally.Planned = news.Tally.Builds, news.Tally.Branch, news.Tally.Looked, news.Tally.Planned
	r.done[news.Shard] = news.Done
	if !slices.Contains(r.done, false) {
		r.end("")
	}
	return true
}

// FindBroke is called where programs beside the page cannot be had after all: the search begins anew between the frames.
func (p *Planner) FindBroke() {
	r := p.finds.run
	if r == nil || r.ended || r.here != nil {
		return
	}
	p.finds.turned()
	if p.OnFindStop != nil {
		p.OnFindStop()
	}
	t, _ := finds.Read(r.base, r.text)
	t.Price = p.pricer()
	p.findHere(t)
}

// StopFind ends a search; what it has found stays.
func (p *Planner) StopFind() {
	r := p.finds.run
	if r == nil || r.ended {
		return
	}
	p.finds.turned()
	r.end("Stopped: what was found so far may be beaten by what was not looked at")
	if p.OnFindStop != nil {
		p.OnFindStop()
	}
}

func (r *findRun) end(word string) { r.ended, r.word, r.here = true, word, nil }

// Searching tells whether a search goes on.
func (p *Planner) Searching() bool { return p.finds.run != nil && !p.finds.run.ended }

// findWork and workFind are its part of HasWork and Work.
func (p *Planner) findWork() bool { return p.Searching() && p.finds.run.here != nil }

const (
	findPiece = 40 // looks at a build in one piece of work: a few milliseconds at most
	findShow  = 50 // pieces between two showings of what has been found
)

func (p *Planner) workFind() {
	r := p.finds.run
	more := r.here.Step(findPiece)
	if r.pieces++; more && r.pieces%findShow != 0 {
		return
	}
	p.finds.turned()
	r.parts[0], r.merged = r.here.Result(), nil
	if !more {
		r.end("")
	}
}

// result is the answer so far.
func (r *findRun) result() *finds.Result {
	if r.merged == nil {
		m := finds.Merge(r.parts...)
		r.merged = &m
	}
	return r.merged
}

// tally is how far it is.
func (r *findRun) tally() (done, all int64) {
	for i := range r.parts {
		done, all = done+r.parts[i].Tally.Examined(), all+r.parts[i].Tally.Builds
	}
	return done, all
}

// findWords says how the search stands.
func (p *Planner) findWords() string {
	r := p.finds.run
	switch {
	case r == nil:
		return ""
	case !r.ended:
		done, all := r.tally()
		return "Searching: " + counted(len(r.result().Found), "build") + " found, " + grouped(done) + " of " + grouped(all) + " examined"
	case r.word != "":
		return r.word
	case len(r.result().Found) > 0:
	case len(r.result().Near) > 0:
		return "No build meets every wish. What comes near, and why builds are out, stands below"
	default:
		return p.findNothing()
	}
	return "Done: " + counted(len(r.result().Found), "build") + " that no other beats"
}

// findNothing says what to give up where nothing was found and nothing comes near.
func (p *Planner) findNothing() string {
	r := p.finds.run
	words := "No build meets every wish, and no build misses by one wish alone, by a fifth at most. "
	if t, _ := finds.Read(r.base, r.text); t.Want[finds.Clear].Given { // no near miss is tight then
		words = "No clear build meets every wish, and none misses by one wish alone, by a fifth at most. "
	}
	_, all := r.tally()
	if key, n := hardestWish(r.result().Tally.Out); n > 0 {
		return words + "The wish that rules out most is “" + wishWord(key) + "”: " + grouped(n) + " of " + grouped(all) + " builds. Why others are out stands below"
	}
	return words + "No wish rules any out: each is over in something, which stands below"
}

// OpenFound opens a build of the answer; undo brings back what stood there.
func (p *Planner) OpenFound(text string) {
	l := link.Decode(text)
	p.openAside(text, "“"+suggested(&l.Build)+"”")
}

// grouped writes a count with thin gaps between its thousands.
func grouped(n int64) string {
	s := strconv.FormatInt(n, 10)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "\u202f" + s[i:]
	}
	return s
}
