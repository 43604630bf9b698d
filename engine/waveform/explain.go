package waveform

import eq "slipring/engine/equation"

// Explained gives what is measured on a signal as equations.
func Explained() eq.Part {
	signal, span := eq.Said("y", "the signal", ""), eq.Said("T", "time that it is looked at", "s")
	return eq.Part{
		Name: "signal",
		What: "What is read off a curve, as an instrument would.",
		Equations: []eq.Equation{
			{
				Key: "signal.rms", Closed: true, By: []string{"waveform.Signal.RMS", "waveform.Signal.ACRMS", "waveform.Set.RMSOfTurns"},
				Gives:   "r.m.s. value: the steady voltage or current that would heat a resistor as much",
				TeX:     `U = \sqrt{\frac{1}{T} \int y^2 dt}`,
				Symbols: []eq.Symbol{eq.Said("U", "r.m.s. value", ""), span, signal, eq.Said("t", "time", "s")},
				Source:  "C. P. Steinmetz: Theoretical Elements of Electrical Engineering, 4th ed., McGraw-Hill, section 4",
			},
			{
				Key: "signal.mean", Closed: true, By: []string{"waveform.Signal.Mean"},
				Gives:   "mean value",
				TeX:     `m = \frac{1}{T} \int y dt`,
				Symbols: []eq.Symbol{eq.Said("m", "mean value", ""), span, signal, eq.Said("t", "time", "s")},
				Source:  "C. P. Steinmetz: Theoretical Elements of Electrical Engineering, 4th ed., McGraw-Hill, section 4",
			},
			{
				Key: "signal.distortion", Closed: true, By: []string{"waveform.Harmonics.THD", "waveform.Signal.THD", "bench.Run.Distortion"},
				Gives:   "total harmonic distortion: the strength of the overtones over that of the fundamental",
				TeX:     `D = \frac{\sqrt{a_2^2 + a_3^2 + \ldots}}{a_1}`,
				Symbols: []eq.Symbol{eq.Said("D", "total harmonic distortion", ""), eq.Said("a_1", "amplitude of the fundamental", ""), eq.Said("a_2", "amplitude of the second harmonic", ""), eq.Said("a_3", "amplitude of the third harmonic", "")},
				Source:  "IEC 61000-4-7",
			},
		},
	}
}
