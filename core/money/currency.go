package money

import "strings"

// Currency is one of ISO 4217: its code, and how many digits its minor unit has.
type Currency struct {
	Code   string
	Digits int
}

// byDigits lists the codes of ISO 4217 (list one, published 2024-06-25) by the digits of their minor unit. Codes without one, as metals and
// the code for tests, are no money to bill in.
var byDigits = [...]string{
	0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
	2: "AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BOV BRL BSD BTN BWP BYN BZD CAD CDF CHE CHF CHW CNY COP COU " +
		"CRC CUC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS " +
		"KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MXV MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN " +
		"PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH " +
		"USD USN UYU UZS VED VES WST XCD YER ZAR ZMW ZWG",
	3: "BHD IQD JOD KWD LYD OMR TND",
	4: "CLF UYW",
}

// CurrencyFor returns the currency with a code, whatever the case of its letters; ok is false where ISO 4217 has none.
func CurrencyFor(code string) (c Currency, ok bool) {
	code = strings.ToUpper(strings.TrimSpace(code))
	if len(code) != 3 || strings.Contains(code, " ") {
		return Currency{}, false
	}
	for digits, codes := range byDigits {
		if strings.Contains(codes, code) {
			return Currency{code, digits}, true
		}
	}
	return Currency{}, false
}
