package link_test

import (
	"encoding/json"
	"flag"
	"maps"
	"os"
	"strings"
	"testing"

	"headroom/core/build"
	"headroom/core/link"

	"github.com/stretchr/testify/require"
)

// update adds to the file what it does not hold yet: new keys and ids, new links of byHand. What stands in it stays as it is, for ever.
var update = flag.Bool("update", false, "add what is new to testdata/frozen_links.json")

const frozenFile = "../../testdata/frozen_links.json"

// frozenLinks is what version 1 promises: what every default and class value is, and how links open.
type frozenLinks struct {
	Defaults     map[string]string                        `json:"defaults"`     // by link key
	Placeholders map[string]float64                       `json:"placeholders"` // of the default build, by link key
	Classes      map[string]map[string]map[string]float64 `json:"classes"`      // choice, id, link key of the value that the class gives
	Links        []frozenLink                             `json:"links"`
}

type frozenLink struct {
	Link     string `json:"link"`
	Opens    string `json:"opens"` // canonical
	Problems int    `json:"problems"`
}

// byHand are links as people, programs and enemies write them.
var byHand = []string{
	"", "#", "v=1", "#v=1", "s=20", "?s=20&p=3", "#v=1&s=20&p=3&kpa=145",
	"https://example.org/plan/#v=1&s=20&kpa=145", "https://example.org/?s=30#v=1&s=20", "http://localhost:8080/?s=24#top", "https://example.org/",
	"v=1&kpa=145,5", "v=1&kpa=+145+", "v=1&kpa=1.45e2", "v=1&cruise=25&wind=-15&grade=-0", "v=1&grade=1e-300",
	"v=1&s=99&p=0&kpa=-1", "v=1&s=20.4", "v=1&s=&kv=", "v=1&s=NaN&p=Inf&kpa=0x90&kv=1e999",
	"v=1&motor=hub65-wide&tire=slick-65&cell=21700-energy&ctrl=c130&fusetype=battery-450&surface=rough",
	"v=1&fw=40&fwduty=75&regen=20&celllimit=on&heat=on&derate=90&coilmax=120&profile=hills", "v=1&profile=moon&heat=maybe&fw=-3",
	"v=1&profile=own&own=500~20~2_800~25~-1", "v=1&own=500+20+2%0A800%3B25,5+25+0&rub=12&cw=300&ch=2000&rwh=0.3&rha=1.2", "v=1&own=1~2~3_x~y_",
	"v=1&motor=warp&cell=", "v=1&MOTOR=hub5-wide&motor=HUB5-WIDE",
	"v=2&s=20&later=yes", "v=0&s=20", "v=one", "v=1&v=2&s=20", "s=20&s=24&s=30",
	"v=1&zeta=9&s=20&alpha=a%26b%3Dc&zeta=%F0%9F%9B%9E&flag", "s=%32%30&%70=4", "s=20&%zz=1&p=%", "=5&&&=&s=20",
	"v=1&note=%3Cscript%3Ealert(1)%3C%2Fscript%3E&s=20", "v=1&a=%00&b=%ff&c=%E2%80%AEcba", "s=20;p=3", "#/route?s=20",
	strings.Repeat("x", 300) + "=1&s=20", strings.Repeat("u=1&", 40) + "s=20",
}

func texts(b *build.Build) map[string]string {
	out := map[string]string{}
	for i := range build.Fields {
		out[build.Fields[i].Key] = build.Fields[i].Text(b)
	}
	return out
}

// classValues are the values that a field left empty takes from its class, by choice and id: those that some id of the choice
// changes.
func classValues() map[string]map[string]map[string]float64 {
	out := map[string]map[string]map[string]float64{}
	for i := range build.Fields {
		choice := &build.Fields[i]
		if choice.Kind != build.Choice {
			continue
		}
		ids := map[string]map[string]float64{}
		differ := map[string]bool{}
		standard := build.Default()
		for _, o := range choice.Options() {
			b := build.Default()
			choice.Set(&b, o.ID)
			ids[o.ID] = placeholders(&b)
			for key, v := range ids[o.ID] {
				differ[key] = differ[key] || v != build.FieldFor(key).Value(&standard)
			}
		}
		for _, values := range ids {
			maps.DeleteFunc(values, func(key string, _ float64) bool { return !differ[key] })
		}
		out[choice.Key] = ids
	}
	return out
}

// placeholders are the values of every field that is left to its class.
func placeholders(b *build.Build) map[string]float64 {
	out := map[string]float64{}
	for i := range build.Fields {
		if f := &build.Fields[i]; f.Optional {
			out[f.Key] = f.Value(b)
		}
	}
	return out
}

// add puts what is new into m.
func add[V any](m, more map[string]V) {
	for key, v := range more {
		if _, ok := m[key]; !ok {
			m[key] = v
		}
	}
}

func opened(text string) frozenLink {
	l := link.Decode(text)
	return frozenLink{text, link.Encode(&l.Build, l.Unknown), len(l.Problems)}
}

func TestLinksOpenForEver(t *testing.T) {
	standard := build.Default()
	if *update {
		text, err := os.ReadFile(frozenFile)
		require.NoError(t, err)
		var f frozenLinks
		require.NoError(t, json.Unmarshal(text, &f))
		// What stands in the file stays; what is new is added.
		add(f.Defaults, texts(&standard))
		add(f.Placeholders, placeholders(&standard))
		for choice, ids := range classValues() {
			add(f.Classes, map[string]map[string]map[string]float64{choice: ids})
			for id, values := range ids {
				add(f.Classes[choice], map[string]map[string]float64{id: values})
				add(f.Classes[choice][id], values)
			}
		}
		have := map[string]bool{}
		for _, l := range f.Links {
			have[l.Link] = true
		}
		for _, link := range byHand {
			if !have[link] {
				f.Links = append(f.Links, opened(link))
			}
		}
		text, err = json.MarshalIndent(f, "", " ")
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(frozenFile, append(text, '\n'), 0o644))
	}
	text, err := os.ReadFile(frozenFile)
	require.NoError(t, err)
	var f frozenLinks
	require.NoError(t, json.Unmarshal(text, &f))
	require.GreaterOrEqual(t, len(f.Links), 40)

	now := texts(&standard)
	for key, want := range f.Defaults {
		got, ok := now[key]
		require.True(t, ok, "version 1 has the key %s", key)
		require.Equal(t, want, got, "the default of %s is frozen", key)
	}
	for key, want := range f.Placeholders {
		require.Equal(t, want, build.FieldFor(key).Value(&standard), "the default build's %s is frozen", key)
	}
	for choice, ids := range f.Classes {
		for id, values := range ids {
			b := build.Default()
			require.Nil(t, build.FieldFor(choice).Set(&b, id), "version 1 has the %s %s", choice, id)
			for key, want := range values {
				require.Equal(t, want, build.FieldFor(key).Value(&b), "%s of %s is frozen", key, id)
			}
		}
	}
	for _, want := range f.Links {
		require.Equal(t, want, opened(want.Link))
		require.Equal(t, want.Opens, canonical(want.Opens), "what it opens as opens as itself")
	}
}
