//go:build !js

package browser

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"headroom/core"
	"headroom/core/link"
	"headroom/core/preview"
	"headroom/core/price"
	"headroom/core/quote"
	"headroom/wasm/page/pagetest"
)

// entered sets a field that is taken when it is left.
func entered(tab *pagetest.Tab, name, text string) {
	do(tab, fmt.Sprintf(`((e) => { e.value = %q; e.dispatchEvent(new Event('change', { bubbles: true })) })(document.querySelector('[name=%q]'))`, text, name))
}

func pasted(tab *pagetest.Tab, name, text string) {
	do(tab, fmt.Sprintf(`((e) => { e.value = %q; e.dispatchEvent(new Event('input', { bubbles: true })) })(document.querySelector('textarea[name=%q]'))`, text, name))
}

// summed is a sum as the page shows it, in plain digits.
func summed(tab *pagetest.Tab, key string) string {
	return pagetest.Eval[string](tab, fmt.Sprintf(`document.querySelector('[data-sum=%q]').dataset.value`, key))
}

func unfoldAll(tab *pagetest.Tab, ids ...string) {
	for _, id := range ids {
		openCard(tab, id)
	}
}

// shopSettings are what TestQuoteFromListToCustomer enters.
func shopSettings() quote.Settings {
	s := quote.Standard()
	s.Shop, s.Customer, s.Markup, s.Discount, s.Tax, s.Rate = "Gravel & Sons", "A <customer>", 17_317_000, 3_713_000, 19_000_000, 61_370_000
	s.Steps[0].Hours = 2_317_000
	return s
}

const privateTable = "name;price;for;unit;note\nPRIVATE cell;3,85;cell;piece;PRIVATE supplier\nBad row;three;cell;piece;\n"

// TestQuoteFromListToCustomer goes the whole way in a real browser: a table with a bad row, the invented list, a quote, the preview's link, and the
// customer's view of it, altered and not.
func TestQuoteFromListToCustomer(t *testing.T) {
	tab := open(t, "#v=1&s=16")
	openCard(tab, "#prices")
	openCard(tab, "#prices .more")
	pasted(tab, "prices-paste", privateTable)
	click(tab, "prices-take")
	assert.Contains(t, shown(tab, "[data-message=prices-lines]"), "Line 3, column “price”: “three” is not a number.")
	assert.Equal(t, "name;price;for;unit;note\nBad row;three;cell;piece;\n", pagetest.Eval[string](tab, `document.querySelector('[name=prices-paste]').value`))
	click(tab, "prices-demo")
	assert.NotEmpty(t, shown(tab, "[data-message=prices-invented]"))
	assert.Contains(t, pagetest.Eval[string](tab, `document.querySelector('[name=prices-paste]').value`), "three", "the bad row waits")

	openCard(tab, "#quote")
	unfoldAll(tab, "#quote .more", "#quote .more ~ .more", "#quote .more ~ .more ~ .more")
	for name, text := range map[string]string{"shop": "Gravel & Sons", "customer": "A <customer>", "markup": "17.317", "discount": "3.713", "tax": "19", "rate": "61.37"} {
		entered(tab, "quote-"+name, text)
	}
	entered(tab, "step-hours-0", "2.317")

	// What core/quote says about the same.
	s := shopSettings()
	list := price.Read(privateTable).Items
	for _, it := range price.Demo() {
		list, _ = list.Put(it)
	}
	b := link.Decode("v=1&s=16").Build
	r, err := core.Plan(b)
	require.NoError(t, err)
	q, err := quote.Make(r.Bill(s.Allowances()), list, &s)
	require.NoError(t, err)
	require.True(t, q.Complete())
	eur := s.Money()
	assert.Equal(t, []string{eur.Text(q.Cost), eur.Text(q.Net), eur.Text(q.Total)}, []string{summed(tab, "cost"), summed(tab, "net"), summed(tab, "total")})
	written := pagetest.Eval[string](tab, fmt.Sprintf(`new Intl.NumberFormat(undefined, { minimumFractionDigits: 2, maximumFractionDigits: 2 }).format(%s).replace(/\s+/g, ' ')`, eur.Text(q.Total)))
	assert.Equal(t, "EUR "+written, shown(tab, "[data-sum=total]"), "the code of ISO 4217, then the number as the reader's language has it")

	// The list and the settings outlive the page.
	visit(tab, serve(t)+"#v=1&s=16")
	unfoldAll(tab, "#prices", "#quote")
	tab.Await(fmt.Sprintf(`document.querySelector('[data-sum=total]')?.dataset.value === %q`, eur.Text(q.Total)))
	assert.Len(t, pagetest.Eval[[]string](tab, `[...document.querySelectorAll('[data-item]')].map((e) => e.dataset.item)`), len(list))

	unfoldAll(tab, "#quote .more", "#quote .more ~ .more", "#quote .more ~ .more ~ .more")
	click(tab, "price-edit")
	withAxe(t, tab)
	auditedCard(t, tab, "#prices")
	auditedCard(t, tab, "#quote")
	media(tab, "prefers-color-scheme", "dark")
	auditedCard(t, tab, "#prices")
	auditedCard(t, tab, "#quote")

	// The clipboard is closed to the test, so the link is shown; or it is open and the page says so.
	do(tab, `navigator.clipboard.writeText = () => Promise.reject(new Error('closed'))`)
	click(tab, "offer-copy")
	tab.Await(`document.querySelector('[name=offer-address]')?.value.includes('#offer=')`)
	address := pagetest.Eval[string](tab, `document.querySelector('[name=offer-address]').value`)
	text, ok := preview.In(address)
	require.True(t, ok)
	t.Logf("the preview's address has %d characters", len(address))

	// Somebody else opens it.
	customer := fresh(t, serve(t))
	resize(customer, 390, 844)
	visit(customer, address)
	assert.Equal(t, []string{eur.Text(q.Net), eur.Text(q.Tax), eur.Text(q.Total)}, []string{summed(customer, "net"), summed(customer, "tax"), summed(customer, "total")})
	assert.Equal(t, "Gravel & Sons", shown(customer, "h1"))
	assert.Contains(t, shown(customer, ".about"), "A <customer>")
	dom := pagetest.Eval[string](customer, `document.documentElement.outerHTML`)
	for _, private := range []string{"PRIVATE", "17.317", "3.713", "61.37", "2.317", eur.Text(q.Cost), eur.Text(q.Markup)} {
		assert.NotContains(t, dom+text, private)
	}
	assert.False(t, pagetest.Eval[bool](customer, `document.documentElement.scrollWidth > innerWidth`), "nothing sticks out to the side")
	withAxe(t, customer)
	audited(t, customer, everything)
	media(customer, "prefers-color-scheme", "dark")
	audited(t, customer, everything)

	time.Sleep(800 * time.Millisecond)
	assert.Equal(t, "#offer="+text, pagetest.Eval[string](customer, `location.hash`), "the address stays")
	assert.Equal(t, "", pagetest.Eval[string](customer, `localStorage.getItem('headroom.build') ?? ''`), "and so does what the device remembers")
	click(customer, "play-offer")
	rest(customer, "v=1&s=16")
	assert.Equal(t, "16", pagetest.Eval[string](customer, slider("s")+".value"))
	do(customer, `history.back()`)
	customer.Await(`document.querySelector('.offer') !== null`)
	assert.Equal(t, eur.Text(q.Total), summed(customer, "total"))

	// The page has a way back of its own, and what it shows is what a reload opens.
	click(customer, "play-offer")
	assert.Equal(t, "offer-back", pagetest.Eval[string](customer, `document.activeElement.id`))
	rest(customer, "v=1&s=16")
	do(customer, `((e) => { e.value = 20; e.dispatchEvent(new Event('input', { bubbles: true })) })(`+slider("s")+`)`)
	rest(customer, "v=1&s=20")
	withAxe(t, customer)
	auditedCard(t, customer, ".messages")
	click(customer, "offer-back")
	customer.Await(`document.querySelector('.offer') !== null && location.hash.startsWith('#offer=')`)
	assert.Equal(t, "offer-head", pagetest.Eval[string](customer, `document.activeElement.id`))
	assert.Equal(t, "v=1&s=20", pagetest.Eval[string](customer, `localStorage.getItem('headroom.build')`), "the device remembers the build")
	do(customer, `history.back()`)
	customer.Await(`document.querySelector('.columns') !== null`)
	rest(customer, "v=1&s=20")
	assert.True(t, pagetest.Eval[bool](customer, `document.querySelector('[name=offer-back]') !== null`))
	click(customer, "offer-back")
	customer.Await(`location.hash === ` + fmt.Sprintf("%q", "#offer="+text))

	// Altered on its way.
	at := len(text) / 2
	other := "A"
	if text[at] == 'A' {
		other = "B"
	}
	for _, altered := range []string{text[:at] + other + text[at+1:], text[:at]} {
		visit(customer, serve(t)+"#offer="+altered)
		assert.Contains(t, shown(customer, "[data-message=offer]"), "cut off or changed")
		assert.Equal(t, 0, pagetest.Eval[int](customer, `document.querySelectorAll('table, [data-sum], [data-promise]').length`))
		assert.NotContains(t, pagetest.Eval[string](customer, `document.body.textContent`), "Gravel")
	}
	click(customer, "leave-offer")
	customer.Await(`document.querySelector('.columns') !== null`)
	rest(customer, "v=1&s=20")
}

// The names of the steps are seen whole, however long.
func TestStepsOfTheWorkAreSeenWhole(t *testing.T) {
	tab := fresh(t, serve(t))
	resize(tab, 360, 800)
	visit(tab, serve(t)+"#v=1")
	unfoldAll(tab, "#quote", "#quote .more", "#quote .more ~ .more")
	entered(tab, "step-name-0", strings.Repeat("Welding and more ", 5)[:80])
	for _, width := range []int64{360, 390, 1440} {
		resize(tab, width, 800)
		assert.Empty(t, pagetest.Eval[[]string](tab, `[...document.querySelectorAll('#quote-steps textarea')].filter((e) => e.scrollHeight > e.clientHeight + 1 || e.scrollWidth > e.clientWidth).map((e) => e.value)`))
	}
}

// A picker that was asked for the whole list goes on showing what is picked.
func TestPickersShowTheWholeList(t *testing.T) {
	tab := open(t, "#v=1")
	unfoldAll(tab, "#prices", "#quote", "#quote .more ~ .more ~ .more")
	click(tab, "prices-demo")
	text := "id;name;price\n"
	for i := range 90 {
		text += fmt.Sprintf("x%02d;Thing %02d;1.05\n", i, i)
	}
	openCard(tab, "#prices .more")
	pasted(tab, "prices-paste", text)
	click(tab, "prices-take")
	picker := `document.querySelector('[name="item-cell"]')`
	tab.Await(picker + `?.querySelector('optgroup') !== null`)
	pick := func(id string) {
		do(tab, fmt.Sprintf(`((e) => { e.value = %q; e.dispatchEvent(new Event('change', { bubbles: true })) })(%s)`, id, picker))
	}
	pick("x03")
	options := pagetest.Eval[float64](tab, picker+`.options.length`)
	pick(" all")
	tab.Await(fmt.Sprintf(`%s.options.length > %v`, picker, options))
	assert.Equal(t, "x03", pagetest.Eval[string](tab, picker+`.value`), "what was picked stays")
	pick("x89")
	tab.Await(picker + `.value === 'x89'`)
	assert.Equal(t, "For this part", pagetest.Eval[string](tab, picker+`.querySelector('optgroup').label`))
}

// The shop prints the customer's view, which the page is left in for as long as it takes.
func TestPrintsTheCustomersView(t *testing.T) {
	tab := fresh(t, serve(t))
	resize(tab, 390, 844)
	atStart(tab, `window.print = () => { window.printed = document.querySelector('.page').className }`)
	visit(tab, serve(t)+"#v=1")
	unfoldAll(tab, "#prices", "#quote")
	click(tab, "prices-demo")
	click(tab, "offer-show")
	click(tab, "print-offer")
	tab.Await(`window.printed !== undefined`)
	assert.Equal(t, "page offer print-quote", pagetest.Eval[string](tab, `window.printed`))
	click(tab, "leave-offer")
	assert.Equal(t, "quote-said", pagetest.Eval[string](tab, `document.activeElement.id`))
	assert.Equal(t, "#v=1", pagetest.Eval[string](tab, `location.hash`))
}

// A device that keeps nothing says so.
func TestPricesThatCannotBeKept(t *testing.T) {
	for _, broken := range []string{
		`Object.defineProperty(window, 'indexedDB', { get() { throw new Error('refused') } });
		Object.defineProperty(window, 'localStorage', { get() { throw new Error('refused') } })`,
		`Object.defineProperty(window, 'indexedDB', { value: undefined })`,
		`IDBFactory.prototype.open = function () { throw new Error('refused') }`,
		`IDBObjectStore.prototype.put = function () { throw new Error('full') }`,
	} {
		tab := fresh(t, serve(t))
		resize(tab, 390, 844)
		atStart(tab, broken)
		visit(tab, serve(t)+"#v=1")
		openCard(tab, "#prices")
		click(tab, "prices-demo")
		tab.Await(`document.querySelector('[data-message=prices-trouble]').textContent.includes('does not keep it')`)
		assert.Equal(t, len(price.Demo()), pagetest.Eval[int](tab, `document.querySelectorAll('[data-item]').length`), "the list is there all the same")
	}
}

// Two windows of one device show one list: each tells the others what it has written, and takes over what they tell.
func TestPricesInTwoWindows(t *testing.T) {
	tab := open(t, "#v=1")
	openCard(tab, "#prices")
	do(tab, `window.told = []; window.other = new BroadcastChannel('headroom.shop'); other.onmessage = (e) => told.push(e.data)`)
	click(tab, "prices-demo")
	tab.Await(`told.includes('prices')`)
	list := price.List{{ID: "theirs", Name: "Theirs", Price: 1_000_000, Unit: "m"}}
	await[bool](tab, fmt.Sprintf(`new Promise((done, failed) => {
		const request = indexedDB.open('headroom', 1);
		request.onerror = failed;
		request.onsuccess = () => {
			const t = request.result.transaction('shop', 'readwrite');
			t.objectStore('shop').put(%q, 'prices');
			t.oncomplete = () => { other.postMessage('prices'); done(true) };
		};
	})`, list.JSON()))
	tab.Await(`[...document.querySelectorAll('[data-item]')].map((e) => e.dataset.item).join() === 'theirs'`)
}

// TestQuoteShots writes pictures for people to look at; see TestShots.
func TestQuoteShots(t *testing.T) {
	folder := os.Getenv("HEADROOM_SHOTS")
	if folder == "" {
		t.Skip("HEADROOM_SHOTS names no folder")
	}
	require.NoError(t, os.MkdirAll(folder, 0o755))
	for _, size := range [][2]int64{{390, 844}, {1440, 900}} {
		for _, scheme := range []string{"light", "dark"} {
			tab := openSized(t, "#v=1&s=16&p=3", size[0], size[1])
			media(tab, "prefers-color-scheme", scheme)
			openCard(tab, "#prices")
			openCard(tab, "#prices .more")
			pasted(tab, "prices-paste", privateTable)
			click(tab, "prices-take")
			click(tab, "prices-demo")
			picture := func(name, show string) {
				do(tab, show)
				tab.Do(chromedp.Sleep(300 * time.Millisecond))
				png, err := chromedp.Run(tab.Context(), chromedp.CaptureScreenshot())
				require.NoError(t, err)
				require.NoError(t, os.WriteFile(filepath.Join(folder, fmt.Sprintf("%dx%d-%s-%s.png", size[0], size[1], scheme, name)), png, 0o644))
			}
			picture("prices", `document.querySelector('#prices').scrollIntoView()`)
			click(tab, "price-edit")
			picture("prices-form", `document.querySelector('#prices .form').scrollIntoView()`)
			picture("prices-table", `document.querySelector('#prices table').scrollIntoView()`)
			click(tab, "price-drop")
			click(tab, "pin")
			to(tab, "v=1&s=20&p=2&batt=120&fuse=60")
			openCard(tab, "#quote")
			click(tab, "option-pinned")
			unfoldAll(tab, "#quote .more", "#quote .more ~ .more", "#quote .more ~ .more ~ .more")
			for name, text := range map[string]string{"shop": "Gravel & Sons", "customer": "A customer", "markup": "18", "discount": "2", "tax": "19", "rate": "62", "valid": "2027-03-31"} {
				entered(tab, "quote-"+name, text)
			}
			entered(tab, "quote-terms", "Half in advance, half on delivery.\nTwo months from the order.")
			entered(tab, "step-hours-1", "3.5")
			entered(tab, "quote-tax", "many")
			picture("quote", `document.querySelector('#quote').scrollIntoView()`)
			picture("quote-set", `document.querySelector('#quote .fields').scrollIntoView()`)
			picture("quote-lines", `document.querySelector('#quote .partline').scrollIntoView()`)
			entered(tab, "quote-tax", "19")
			click(tab, "offer-show")
			picture("offer", `scrollTo(0, 0)`)
			picture("offer-know", `document.querySelector('.promises').scrollIntoView()`)
			picture("offer-bill", `document.querySelector('.bill').scrollIntoView()`)
			picture("offer-end", `scrollTo(0, 1e6)`)
		}
	}
	tab := open(t, "#offer="+strings.Repeat("x", 40))
	png, err := chromedp.Run(tab.Context(), chromedp.CaptureScreenshot())
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "offer-damaged.png"), png, 0o644))
}
