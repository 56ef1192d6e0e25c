//! Control charts: drift seen as early as the chosen rate of false calls allows.
