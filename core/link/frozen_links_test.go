package link_test

import (
	"strings"
	"testing"

	"headroom/core/build"
	"headroom/core/internal/randombuild"
	"headroom/core/link"

	"github.com/stretchr/testify/require"
)

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
	// Damage, repetition and numbers that are none.
	"v=1&s=%", "v=1&s=%2", "v=1&%=%&s=20", "v=1&s=2%30", "v=1&s=20%00", "v=1&s=20&&&&p=3&", "v=1&s==20", "v=1&s=20=21", "#%23s=20", "##s=20", "?#?s=20",
	"v=1&kpa=145&kpa=abc", "v=1&kpa=abc&kpa=145", "v=1&cell=18650-power&cell=21700-energy", "v=1&v=1&v=1", "v=&s=20", "v=1.0&s=20", "v=-1&s=20", "v=01&s=20", "v=999999999999999999999&s=20",
	"v=1&s=1e1", "v=1&s=1e400", "v=1&s=-1e400", "v=1&kpa=1e-400", "v=1&kpa=.5e3", "v=1&kpa=5.", "v=1&kpa=.", "v=1&kpa=+", "v=1&kpa=--145", "v=1&kpa=1_45", "v=1&kpa=145%C2%A0",
	"v=1&kpa=nan", "v=1&kpa=infinity", "v=1&kv=-Inf", "v=1&grade=-99&wind=1e9&alt=NaN&temp=-273.15", "v=1&kpa=%D9%A1%D9%A4%D9%A5", "v=1&kpa=%EF%BC%91%EF%BC%94%EF%BC%95",
	"v=1&kpa=1,450", "v=1&kpa=1.450,5", "v=1&rider=0x50", "v=1&s=20p", "v=1&p=3;s=20", "v=1&rider=99999999999999999999999999999999999999999999999999",
	// Text of every kind where a number, a choice or a name should stand.
	"v=1&motor=%F0%9F%9B%9E&cell=%E2%80%AE21700-power", "v=1&motor=%3Cimg%20src%3Dx%20onerror%3Dalert(1)%3E", "v=1&%22%3E%3Csvg%2Fonload%3Dalert(1)%3E=1&s=20",
	"v=1&s=%3Cb%3E20%3C%2Fb%3E", "v=1&__proto__=1&constructor=2&toString=3&s=20", "v=1&javascript%3Aalert(1)=javascript%3Aalert(1)", "javascript:alert(1)//s=20&p=3",
	"v=1&a%0Ab=c%0Dd&s=20", "v=1&\u202es=20", "v=1&%E2%80%8Bs=24&s=20", "v=1&S=24&s=20", "v=1& s=24&s=20", "v=1&own=%3Cscript%3E", "v=1&own=1e99~NaN~Inf_0~0~0", "v=1&own=" + strings.Repeat("100~20~1_", 40) + "100~20~1",
	"%ff%fe=%c3&s=20", "s=20\x00&p=3", "\ufeffv=1&s=20", "  v=1&s=20  \n",
	// From a newer version.
	"v=2&s=24&p=3&kpa=140&lift=5&mode=eco", "v=3&cell=99999-solid&s=20", "v=2", "v=17&" + strings.Repeat("new=1&", 40) + "s=20",
	// As a query, within an address, after other text.
	"?v=1&s=20", "?s=20&p=3&utm=mail", "https://example.org/headroom.html?s=20&p=3", "https://example.org/a/b/#s=20", "file:///home/me/headroom.html#v=1&s=20", "https://example.org/?q=a#", "https://example.org/?s=20#nothing", "See https://example.org/#v=1&s=20",
	// With a second build.
	"v=1&s=20&beside=v%3D1%26s%3D24", "v=1&beside=v%3D1", "beside=%23v%3D1%26kpa%3D999", "v=1&s=20&beside=v%3D2%26s%3D24%26later%3D1", "v=1&s=20&beside=s%3D24%26beside%3Ds%253D30", "v=1&s=20&beside=%3Cscript%3E", "v=1&s=20&beside=%25zz&beside=s%3D24", "beside",
	strings.Repeat("x", 300) + "=1&s=20", strings.Repeat("u=1&", 40) + "s=20",
}

// uncovered writes a link for every key, and for every id of a choice, that no link states yet.
func uncovered(links []frozenLink) (list []string) {
	stated := map[string]bool{}
	for _, l := range links {
		for _, pair := range strings.Split(l.Opens, "&") {
			key, _, _ := strings.Cut(pair, "=")
			stated[key], stated[pair] = true, true
		}
	}
	standard := build.Default()
	for i := range build.Fields {
		f := &build.Fields[i]
		b := build.Default()
		switch {
		case f.Kind == build.Choice:
			for n, o := range f.Options() {
				if f.SetValue(&b, float64(n)); o.ID != f.Text(&standard) && !stated[f.Key+"="+o.ID] {
					list = append(list, link.Encode(&b, nil))
				}
			}
			continue
		case stated[f.Key]:
			continue
		case f.Kind == build.Rows:
			f.Set(&b, "500~20~2_800~25~-1")
		case i%2 == 0:
			f.SetValue(&b, f.Min)
		default:
			f.SetValue(&b, f.Max)
		}
		if f.Text(&b) == f.Text(&standard) {
			f.SetValue(&b, (f.Min+f.Max)/2)
		}
		list = append(list, link.Encode(&b, nil))
	}
	return list
}

// drawn is what a file with few links starts with: every input at one end of its range, and random builds.
func drawn(have int) (list []string) {
	if have >= 200 {
		return nil
	}
	low, high := build.Default(), build.Default()
	for i := range build.Fields {
		f := &build.Fields[i]
		if f.Kind == build.Choice {
			f.SetValue(&high, float64(len(f.Options())-1))
			f.SetValue(&low, 0)
			continue
		}
		f.SetValue(&low, f.Min)
		f.SetValue(&high, f.Max)
	}
	list = append(list, link.Encode(&low, nil), link.Encode(&high, nil))
	for seed := range 20 {
		any, plausible := randombuild.Any().Example(seed), randombuild.Plausible().Example(seed)
		list = append(list, link.Encode(&any, nil), link.Encode(&plausible, nil))
	}
	return list
}

func TestUncoveredSeesWhatIsMissing(t *testing.T) {
	require.Contains(t, uncovered(nil), "v=1&motor=hub5-wide")
	require.NotContains(t, uncovered([]frozenLink{{Opens: "v=1&motor=hub5-wide"}}), "v=1&motor=hub5-wide")
	require.Greater(t, len(uncovered(nil)), len(build.Fields)-10)
}
