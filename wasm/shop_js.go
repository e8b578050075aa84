package main

import (
	"strconv"
	"time"

	"github.com/hack-pad/safejs"

	"headroom/ui"
)

// openShop connects price list and quotes to the device: its database, its way to write money, its calendar, its other windows.
func openShop(planner *ui.Planner, address *address, render func()) {
	planner.Today = today()
	planner.OnMoney = (&moneyWriter{made: map[int]safejs.Value{}}).write
	planner.OnCopyOffer = func(fragment string, done func(address string, ok bool)) {
		copyText(address.with(fragment), func(text string, ok bool) {
			done(text, ok)
			render()
		})
	}
	d := openDatabase()
	windows, err := otherWindows(func(name string) {
		d.get(name, func(text, failure string) {
			if failure == "" {
				planner.Restored(name, text)
				render()
			}
		})
	})
	planner.OnStore = func(name, text string, done func(failure string)) {
		d.put(name, text, func(failure string) {
			done(failure)
			if failure == "" && err == nil {
				_, _ = windows.Call("postMessage", name)
			}
			render()
		})
	}
	for _, name := range []string{ui.StorePrices, ui.StoreQuote} {
		d.get(name, func(text, failure string) {
			planner.Stored(name, text, failure)
			render()
		})
	}
}

// today is the day of this device's calendar as ISO 8601 writes it. (time.Format would bring forty kilobytes.)
func today() string {
	year, month, day := time.Now().Date()
	digits := strconv.Itoa(10000*year + 100*int(month) + day)
	if len(digits) != 8 {
		return ""
	}
	return digits[:4] + "-" + digits[4:6] + "-" + digits[6:]
}

// otherWindows calls changed with the name of what another window has written.
func otherWindows(changed func(name string)) (channel safejs.Value, err error) {
	constructor, err := safejs.Global().Get("BroadcastChannel")
	if err != nil {
		return channel, err
	}
	if channel, err = constructor.New("headroom.shop"); err != nil {
		return channel, err
	}
	callback, err := safejs.FuncOf(func(_ safejs.Value, args []safejs.Value) any {
		if name := textOf(args[0], "data"); name == ui.StorePrices || name == ui.StoreQuote {
			changed(name)
		}
		return nil
	})
	if err != nil {
		return channel, err
	}
	return channel, channel.Set("onmessage", callback)
}

// moneyWriter writes amounts with the browser's own formatters; making one takes longer than using it.
type moneyWriter struct {
	made map[int]safejs.Value // by digits after the point
}

// write is an amount in the reader's language, without a currency, "" where the browser does not know how. A browser's number holds every amount exactly.
func (w *moneyWriter) write(plain string, digits int) string {
	format, ok := w.made[digits]
	if !ok {
		format, _ = newFormat(digits) // undefined where there is none
		w.made[digits] = format
	}
	if !isObject(format) {
		return ""
	}
	number, err := safejs.Global().Call("Number", plain)
	if err != nil {
		return ""
	}
	written, err := format.Call("format", number)
	if err != nil {
		return ""
	}
	text, err := written.String()
	if err != nil {
		return ""
	}
	return text
}

func newFormat(digits int) (safejs.Value, error) {
	intl, err := safejs.Global().Get("Intl")
	if err != nil {
		return safejs.Undefined(), err
	}
	constructor, err := intl.Get("NumberFormat")
	if err != nil {
		return safejs.Undefined(), err
	}
	format, err := constructor.New(safejs.Unsafe(safejs.Undefined()), map[string]any{
		"minimumFractionDigits": digits, "maximumFractionDigits": digits,
	})
	if err != nil {
		return safejs.Undefined(), err
	}
	return format, nil
}
