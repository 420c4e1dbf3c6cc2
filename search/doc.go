// Package search joins studies and engines: it makes a study.Problem of a study file, its base engine and its brief.
package search
