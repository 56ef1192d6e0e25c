//! Saturation pressure, density and viscosity of liquids, within the ranges their sources give.
