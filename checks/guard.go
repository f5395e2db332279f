package checks

import "trammel.example/schema"

const touchForceLimit, touchEnergyLimit = 75.0, 4.0

func (x *examiner) guard(s *Subject, z schema.Zone) { s.flag("unguarded", !z.Guard.Given(), z.Who) }
