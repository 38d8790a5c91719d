package uncertainty

import "errors"

func (s *Statement) expandByTrials(b Budget) error {
	return errors.New("method \"monte carlo\": not built yet; want \"exact\" or \"t\"")
}
