package rules

import (
	_ "embed"
	"sync"

	"github.com/go-json-experiment/json"
)

//go:generate go run ./internal/generate

// shippedData is the shipped rules, read from the .cue files of this folder once, when trammel is built: evaluating them anew in each run
// would cost more than judging by them.
//
//go:embed shipped.json
var shippedData []byte

// Shipped returns the shipped rules by name. They are shared: don't change them.
var Shipped = sync.OnceValues(func() ([]*Rule, error) {
	var rules []*Rule
	err := json.Unmarshal(shippedData, &rules)
	return rules, err
})
