package route_test

import (
	"encoding/xml"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"headroom/core/route"
)

// file is GPX 1.1 as the schema at topografix.com/GPX/1/1 has it, for the standard library's reader, the second opinion here.
type file struct {
	XMLName xml.Name
	Tracks  []struct {
		Name     string `xml:"name"`
		Segments []struct {
			Points []placed `xml:"trkpt"`
		} `xml:"trkseg"`
	} `xml:"trk"`
	Routes []struct {
		Name   string   `xml:"name"`
		Points []placed `xml:"rtept"`
	} `xml:"rte"`
}

type placed struct {
	Lat float64  `xml:"lat,attr"`
	Lon float64  `xml:"lon,attr"`
	Ele *float64 `xml:"ele"`
}

// second reads the same file with encoding/xml.
func second(text string) (points [][]placed, err error) {
	var f file
	if err := xml.Unmarshal([]byte(text), &f); err != nil {
		return nil, err
	}
	for _, t := range f.Tracks {
		for _, s := range t.Segments {
			if len(s.Points) > 0 {
				points = append(points, s.Points)
			}
		}
	}
	if points == nil {
		for _, r := range f.Routes {
			if len(r.Points) > 0 {
				points = append(points, r.Points)
			}
		}
	}
	return points, nil
}

func same(t require.TestingT, want [][]placed, got *route.Track, text string) {
	require.Len(t, got.Segments, len(want), text)
	unknown := 0
	for i, s := range want {
		require.Len(t, got.Segments[i], len(s), text)
		for j, q := range s {
			p := got.Segments[i][j]
			require.Equal(t, [2]float64{q.Lat, q.Lon}, [2]float64{p.Lat, p.Lon}, text)
			require.Equal(t, q.Ele != nil, p.HasEle, text)
			if q.Ele != nil {
				require.Equal(t, *q.Ele, p.Ele, text)
			} else {
				unknown++
			}
		}
	}
	require.Equal(t, unknown, got.Unknown)
}

// Files as programs write them: with prefixes, extensions that use the same words, comments in odd places, CDATA, entities.
func TestReadsWhatEncodingXMLReads(t *testing.T) {
	for _, text := range []string{
		`<?xml version="1.0" encoding="UTF-8"?>` + "\n" + `<!-- made by hand --><gpx version="1.1" creator="x &amp; y" xmlns="http://www.topografix.com/GPX/1/1"
			xmlns:e="http://example.org/e"><metadata><name>not this</name><bounds minlat="1"/></metadata>
			<wpt lat="1" lon="2"><ele>99</ele><name>nor this</name></wpt>
			<trk><name>Over &lt;the&gt; <![CDATA[hill & back]]></name><trkseg>
			<trkpt lat="47.5" lon="-8.25"><ele>401.5</ele><time>2020-01-01T00:00:00Z</time></trkpt>
			<trkpt lon='-8.251' lat = '47.501' ><ele> 40<!-- split -->2.5 </ele><extensions><e:ele>7</e:ele><ele>8</ele><e:trkpt lat="1" lon="1"/></extensions></trkpt>
			<trkpt lat="47.502" lon="-8.252"/><trkpt lat="4.75e1" lon="+8"><ele><![CDATA[403]]></ele></trkpt>
			</trkseg><trkseg></trkseg><trkseg><trkpt lat="47.6" lon="-8.25"><ele>&#52;04</ele></trkpt></trkseg></trk>
			<trk><trkseg><trkpt lat="47.7" lon="-8.25"></trkpt></trkseg></trk></gpx>` + "\n<!-- end -->\n",
		`<g:gpx xmlns:g="http://www.topografix.com/GPX/1/1"><g:rte><g:name>R</g:name><g:rtept lat="1" lon="2"/><g:rtept lat="-90" lon="180"><g:ele>0</g:ele></g:rtept></g:rte></g:gpx>`,
		`<gpx xmlns="http://www.topografix.com/GPX/1/0"><rte><rtept lat="1" lon="2"/></rte><trk><trkseg><trkpt lat="3" lon="4"/></trkseg></trk></gpx>`,
	} {
		want, err := second(text)
		require.NoError(t, err)
		got, problem := route.ParseGPX(text)
		require.Nil(t, problem, text)
		same(t, want, got, text)
		byteOrder, problem := route.ParseGPX("\ufeff" + text)
		require.Nil(t, problem)
		same(t, want, byteOrder, text)
	}
	got, problem := route.ParseGPX(`<gpx><trk><name> Over &lt;the&gt; <![CDATA[hill & back]]>` + "\n" + ` &#x48;&#xE9;</name><trkseg><trkpt lat="1" lon="1"/></trkseg></trk></gpx>`)
	require.Nil(t, problem)
	assert.Equal(t, "Over <the> hill & back Hé", got.Name)
	assert.False(t, got.Planned)

	// An element of another namespace is no track, whatever its name.
	got, problem = route.ParseGPX(`<gpx xmlns="http://www.topografix.com/GPX/1/1"><trk xmlns="http://example.org/x"><trkseg><trkpt lat="9" lon="9"/></trkseg></trk>
		<rte><rtept lat="1" lon="2"><ele xmlns="http://example.org/x">5</ele></rtept></rte></gpx>`)
	require.Nil(t, problem)
	assert.True(t, got.Planned)
	assert.Equal(t, 1, got.Unknown)

	// Numbers that devices write where they know no elevation.
	got, problem = route.ParseGPX(`<gpx><trk><trkseg><trkpt lat="1" lon="2"><ele>-32768</ele></trkpt><trkpt lat="1" lon="2"><ele/></trkpt></trkseg></trk></gpx>`)
	require.Nil(t, problem)
	assert.Equal(t, 2, got.Unknown)
}

// Random files, written in every way that XML allows.
func TestReadsRandomFiles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		blank := func() string {
			return rapid.SampledFrom([]string{"", " ", "\n", "<!-- <trkpt> -->", "<?x y?>"}).Draw(t, "blank")
		}
		quote := func(v float64) string {
			q := rapid.SampledFrom([]string{`"`, `'`}).Draw(t, "quote")
			return rapid.SampledFrom([]string{"=", " = ", "\n="}).Draw(t, "is") + q + fmt.Sprint(v) + q
		}
		var out strings.Builder
		out.WriteString("<gpx>")
		for range rapid.IntRange(1, 3).Draw(t, "tracks") {
			out.WriteString(blank() + "<trk>")
			for range rapid.IntRange(1, 3).Draw(t, "segments") {
				out.WriteString("<trkseg>" + blank())
				for range rapid.IntRange(1, 5).Draw(t, "points") {
					out.WriteString("<trkpt lat" + quote(rapid.Float64Range(-90, 90).Draw(t, "lat")) + "\tlon" + quote(rapid.Float64Range(-180, 180).Draw(t, "lon")))
					if rapid.Bool().Draw(t, "bare") {
						out.WriteString("/>")
						continue
					}
					out.WriteString(">" + blank())
					if rapid.Bool().Draw(t, "known") {
						out.WriteString("<ele>" + fmt.Sprint(rapid.Float64Range(-400, 5000).Draw(t, "ele")) + blank() + "</ele >")
					}
					out.WriteString("<name>&quot;<![CDATA[</trkpt>]]></name></trkpt>")
				}
				out.WriteString("</trkseg>")
			}
			out.WriteString("</trk>" + blank())
		}
		text := out.String() + "</gpx>" + "\n"
		want, err := second(text)
		require.NoError(t, err, text)
		got, problem := route.ParseGPX(text)
		require.Nil(t, problem, text)
		same(t, want, got, text)
	})
}

// numbered writes a text many times, each with its number.
func numbered(text string, times int) string {
	var out strings.Builder
	for i := range times {
		fmt.Fprintf(&out, text, i)
	}
	return out.String()
}

// What is declared within an element that has ended counts no more, and as many attributes as may be are read.
func TestManyAttributesAreRead(t *testing.T) {
	one := "<trkpt lat='1' lon='1'" + numbered(" a%d=''", 62) + numbered(" xmlns:a%d=''", 256) + "/>"
	_, problem := route.ParseGPX("<gpx><trk><trkseg>" + one + one + "</trkseg></trk></gpx>")
	assert.Nil(t, problem)
}

func TestBadFilesAreTold(t *testing.T) {
	point := func(inside string) string {
		return "<gpx>\n<trk><trkseg>\n" + inside + "\n</trkseg></trk></gpx>"
	}
	for _, c := range []struct {
		text, says string
		line       int
	}{
		{"", "empty", 0},
		{" \n ", "empty", 0},
		{"PK\x03\x04 a zip", "not a GPX file", 0},
		{"<gpx>\x00</gpx>", "not a GPX file", 0},
		{"latitude,longitude\n1,2", "not a GPX file", 0},
		{"<html><body>404</body></html>", "another kind of file", 1},
		{"\n<kml xmlns='http://www.opengis.net/kml/2.2'></kml>", "<kml>", 2},
		{"<gpx xmlns='http://example.org/'/>", "another kind", 1},
		{"<gpx></gpx>", "no track", 0},
		{"<gpx><trk><trkseg/></trk><wpt lat='1' lon='2'/></gpx>", "no track", 0},
		{"<gpx/><gpx/>", "second outermost", 1},
		{"<gpx/>\nhello", "outside", 1},
		{"<gpx/>\n<![CDATA[x]]>", "outside", 2},
		{"<!DOCTYPE gpx [<!ENTITY a 'b'>]>\n<gpx/>", "document type", 1},
		{point("<trkpt lat='1' lon='2'>"), "</trkseg> stands where </trkpt> is due", 4},
		{"<gpx>\n<trk>\n<trkseg><trkpt lat='1' lon='2'/>", "the file ends within <trkseg>", 3},
		{"<gpx>\n<trk", "does not end", 2},
		{"<gpx></gpx></gpx>", "closes nothing", 1},
		{point("<trkpt lat='1'/>"), "without “lon”", 3},
		{point("<trkpt lon='1'/>"), "without “lat”", 3},
		{point("<trkpt lat='91' lon='2'/>"), "“91” is no lat in degrees, which go from −90 to 90", 3},
		{point("<trkpt lat='1' lon='-180.1'/>"), "no lon", 3},
		{point("<trkpt lat='NaN' lon='1'/>"), "“NaN” is no lat", 3},
		{point("<trkpt lat='0x10' lon='1'/>"), "no lat", 3},
		{point("<trkpt lat='1,5' lon='1'/>"), "“1,5” is no lat", 3},
		{point("<trkpt lat='' lon='1'/>"), "no lat", 3},
		{point("<trkpt lat='1' lat='2' lon='1'/>"), "given twice", 3},
		{point("<trkpt lat='1' lon='1'\n" + numbered(" a%d=''", 63) + "/>"), "more than 64 attributes", 4},
		{point("<trkpt lat='1' lon='1'\n" + numbered(" xmlns:a%d=''", 257) + "/>"), "more than 256 namespaces", 4},
		{point("<trkpt lat=1 lon='1'/>"), "not in quotes", 3},
		{point("<trkpt lat='<1' lon='1'/>"), "“<” in the value", 3},
		{point("<trkpt lat='1'lon='1'/>"), "a space", 3},
		{point("<trkpt lat lon='1'/>"), "without a value", 3},
		{point("<trkpt lat='1' lon='1'>\n<ele>high</ele></trkpt>"), "“high” is no elevation", 4},
		{point("<trkpt lat='1' lon='1'><ele>&nbsp;1</ele></trkpt>"), "“&nbsp”", 3},
		{point("<trkpt lat='1' lon='1'><ele>1&amp</ele></trkpt>"), "“&amp”", 3},
		{point("<trkpt lat='&#xD800;' lon='1'/>"), "“&#xD800”", 3},
		{point("<!-- no end"), "a comment that does not end", 3},
		{point("<!-->"), "a comment that does not end", 3},
		{point("<![CDATA[ no end"), "CDATA", 3},
		{point("<? no end"), "instruction", 3},
		{point("< trkpt/>"), "begins no element", 3},
		{point("</ >"), "stands where", 3},
		{"<gpx>" + strings.Repeat("<a>", 100), "more than 64 elements", 1},
		{"<gpx>" + strings.Repeat(" ", route.MaxBytes), "larger than 24 MB", 0},
	} {
		_, problem := route.ParseGPX(c.text)
		if !assert.NotNil(t, problem, "%.80s", c.text) {
			continue
		}
		assert.Contains(t, problem.Text, c.says)
		assert.Equal(t, c.line, problem.Line, "%.80s: %s", c.text, problem.Text)
		if c.line > 0 {
			assert.True(t, strings.HasPrefix(problem.Error(), fmt.Sprintf("Line %d: ", c.line)))
		}
	}
}

// FuzzOpen feeds the reader with anything. Its seeds stand in testdata/fuzz; what the fuzzer finds is kept there.
func FuzzOpen(f *testing.F) {
	f.Add(`<gpx><trk><name>a&amp;b</name><trkseg><trkpt lat="1" lon="2"><ele>3</ele></trkpt><trkpt lat="1.001" lon="2"/></trkseg></trk></gpx>`)
	f.Add(`<g:gpx xmlns:g="http://www.topografix.com/GPX/1/1"><g:rte><g:rtept lat='1' lon='2'/><!-- --><g:rtept lat='1' lon='2.01'/></g:rte></g:gpx>`)
	f.Fuzz(func(t *testing.T, text string) {
		track, problem := route.ParseGPX(text)
		if problem != nil {
			require.Nil(t, track)
			require.NotEmpty(t, problem.Text)
			require.Less(t, len(problem.Text), 600)
			require.False(t, strings.ContainsAny(problem.Error(), "\n\r"), "%q", problem.Error())
			require.LessOrEqual(t, problem.Line, 1+strings.Count(text, "\n"))
			return
		}
		// Where the standard library takes the file too, it must have read the same. It takes no entity that we do not, and looks at parts
		// of the file that we pass over; names with a prefix it reads in any namespace.
		if want, err := second(text); err == nil && !strings.Contains(text, "xmlns") && !strings.Contains(text, ":") {
			for i := range want {
				for j := range want[i] {
					if e := want[i][j].Ele; e != nil && (*e < -500 || *e > 9000) {
						want[i][j].Ele = nil
					}
				}
			}
			same(t, want, track, text)
		}
		path, problem := track.Path()
		if problem != nil {
			require.LessOrEqual(t, problem.Line, 1+strings.Count(text, "\n"))
			return
		}
		require.Len(t, path.Grade, len(path.Ele)-1)
		for i, e := range path.Ele {
			require.True(t, e >= -1e5 && e <= 1e5 && path.Curve[i] >= 0 && path.Curve[i] <= 0.7, text)
		}
	})
}
