// Package ridecheck holds what was measured on the finished board against the plan.
package ridecheck
