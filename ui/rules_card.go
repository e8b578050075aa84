package ui

import (
	"strconv"
	"strings"

	"headroom/core/rules"
)

// RulesCard lists what transport rules, standards and a law say about this build.
type RulesCard struct{ P *Planner }

type topic struct {
	Title string
	Facts []rules.Fact
}

var topicTitles = map[string]string{rules.Air: "By air, with you", rules.Shipping: "Shipping", rules.Product: "Product standards", rules.Law: "On the road"}

func (c *RulesCard) topics() []topic {
	var list []topic
	for _, f := range c.P.Report.Rules {
		title := topicTitles[f.Topic]
		if len(list) == 0 || list[len(list)-1].Title != title {
			list = append(list, topic{Title: title})
		}
		last := &list[len(list)-1]
		last.Facts = append(last.Facts, f)
	}
	return list
}

func (c *RulesCard) brief() string { return decimal(c.P.Report.Pack.EnergyWh, 0) + " Wh" }

func (c *RulesCard) cite(f rules.Fact) string {
	year := strconv.Itoa(f.Year)
	if strings.Contains(f.Source, year) {
		return f.Source
	}
	return f.Source + ", " + year
}
