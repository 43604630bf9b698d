package machine

// Regulation gives by which part of its value under load a quantity, such as
// speed or voltage, is higher without: (x0 - x)/x.
func Regulation(unloaded, loaded float64) float64 { return (unloaded - loaded) / loaded }
