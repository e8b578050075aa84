module headroom

go 1.26.8

require (
	github.com/andybalholm/brotli v1.2.8
	github.com/chromedp/cdproto v0.159.0
	github.com/chromedp/chromedp v0.23.0
	github.com/coder/websocket v1.8.15
	github.com/hack-pad/safejs v0.1.0
	github.com/stretchr/testify v1.12.1
	github.com/vugu/html v0.0.0-20190914200101-c62dc20b8289
	github.com/vugu/vjson v0.0.0-20200505061711-f9cbed27d3d9
	github.com/vugu/vugu v0.4.0
	pgregory.net/rapid v1.3.0
)

require (
	github.com/go-json-experiment/json v0.0.0-20260213210345-44df1a37e875 // indirect
	github.com/vugu/xxhash v0.0.0-20191111030615-ed24d0179019 // indirect
	go.yaml.in/yaml/v3 v3.0.5 // indirect
)

tool github.com/vugu/vugu/cmd/vugugen
