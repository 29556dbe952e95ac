// The rule of this file: each controller speaks for itself alone. What one says
// of the sensors fitted places its own PIDs and no other's.

package obd

import "fmt"

// Report is what several replies say, one Controller for each address.
type Report struct{ Controllers []Controller }

// Controller is what one controller said.
type Controller struct {
	ECU     string
	Name    string // of the address, in words
	Fitted  Fitted
	Note    string // where PID 13 and 1D contradict each other
	Answers []Answer
	Faults  []Fault
}

// Fault is a reply that could not be read, or not to its end.
type Fault struct {
	Reply Reply
	Err   error
}

// Read decodes replies in the order they came and keeps controllers apart, in
// the order in which they first spoke. PID 13 or 1D may come after the PIDs
// that it places. The five replies of a VIN as sent before CAN are joined.
func Read(replies []Reply) Report {
	var report Report
	byECU := map[string][]Reply{}
	var order []string
	for _, r := range replies {
		if _, seen := byECU[r.ECU]; !seen {
			order = append(order, r.ECU)
		}
		byECU[r.ECU] = append(byECU[r.ECU], r)
	}
	for _, ecu := range order {
		report.Controllers = append(report.Controllers, controller(ecu, joinVIN(byECU[ecu])))
	}
	return report
}

func controller(ecu string, replies []Reply) Controller {
	c := Controller{ECU: ecu, Name: ECUName(ecu)}
	c.Fitted, c.Note = fittedIn(replies)
	for _, r := range replies {
		a, err := Decode(r, c.Fitted)
		if err != nil {
			c.Faults = append(c.Faults, Fault{r, err})
		}
		if err == nil || len(a.Workings) > 0 {
			c.Answers = append(c.Answers, a)
		}
	}
	return c
}

// fittedIn finds what the replies say of the sensors fitted. Two answers that
// differ are none.
func fittedIn(replies []Reply) (Fitted, string) {
	var found Fitted
	for _, r := range replies {
		a, _ := Decode(r, Fitted{})
		for _, reading := range a.Readings {
			f := reading.Fitted
			if f == nil || *f == found {
				continue
			}
			if found.Known() {
				return Fitted{}, fmt.Sprintf("PID %02X = %02X and PID %02X = %02X contradict each other, so no sensor is placed; read them again", found.PID, found.Bits, f.PID, f.Bits)
			}
			found = *f
		}
	}
	return found, ""
}
