//! From gauge readings to head, suction margin, flow and power.
