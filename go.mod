module headroom

go 1.26.8

require (
	github.com/andybalholm/brotli v1.2.8 // indirect
	github.com/chromedp/cdproto v0.159.0 // indirect
	github.com/chromedp/chromedp v0.23.0 // indirect
	github.com/go-json-experiment/json v0.0.0-20260213210345-44df1a37e875 // indirect
	github.com/hack-pad/safejs v0.1.0 // indirect
	github.com/stretchr/testify v1.12.1 // indirect
	github.com/vugu/html v0.0.0-20190914200101-c62dc20b8289 // indirect
	github.com/vugu/vugu v0.4.0 // indirect
	github.com/vugu/xxhash v0.0.0-20191111030615-ed24d0179019 // indirect
	pgregory.net/rapid v1.3.0 // indirect
)

tool github.com/vugu/vugu/cmd/vugugen
