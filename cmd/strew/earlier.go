package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"

	"strew/cmd/internal/results"
)

// earlierPlan lists the files that an earlier run wrote to dir, as its plan.json
// says; none where there is no plan.json of ours.
func earlierPlan(dir string) []string {
	return listedIn(filepath.Join(dir, results.PlanFile), "strew-plan/")
}

// listedIn returns the files that the record at path lists, none where it is
// no record of the format.
func listedIn(path, format string) []string {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil
	}
	var doc struct {
		Format string   `json:"format"`
		Files  []string `json:"files"`
	}
	if json.Unmarshal(data, &doc) != nil || !strings.HasPrefix(doc.Format, format) {
		return nil
	}
	return doc.Files
}

// earlierCompared lists the files that an earlier run of compare wrote to dir.
func earlierCompared(dir string) []string {
	return listedIn(filepath.Join(dir, results.ComparedFile), "strew-compare/")
}

// earlierMeasured lists the files that an earlier run of measure wrote to dir.
func earlierMeasured(dir string) []string {
	return listedIn(filepath.Join(dir, results.MeasuredFile), "strew-measure/")
}
