package ode

import "math"

// DOP853, Dormand and Prince's twelve-stage method of order 8 with error
// estimates of orders 5 and 3, and a dense output of order 7 that takes three
// more evaluations a step.
//
// Source: E. Hairer, S. P. Norsett, G. Wanner, Solving Ordinary Differential
// Equations I, 2nd ed., section II.5 (the method), section II.6 (the dense
// output) and the authors' code DOP853, whose coefficients these are. Numbers
// count stages from 1; stage 13 is the slope at the end of the step, and 14 to
// 16 serve the dense output.
const (
	c2x8  = 0.526001519587677318785587544488e-01
	c3x8  = 0.789002279381515978178381316732e-01
	c4x8  = 0.118350341907227396726757197510
	c5x8  = 0.281649658092772603273242802490
	c6x8  = 1. / 3
	c7x8  = 0.25
	c8x8  = 4. / 13
	c9x8  = 0.651282051282051282051282051282
	c10x8 = 0.6
	c11x8 = 6. / 7
	c14x8 = 0.1
	c15x8 = 0.2
	c16x8 = 7. / 9

	a2x1   = 5.26001519587677318785587544488e-2
	a3x1   = 1.97250569845378994544595329183e-2
	a3x2   = 5.91751709536136983633785987549e-2
	a4x1   = 2.95875854768068491816892993775e-2
	a4x3   = 8.87627564304205475450678981324e-2
	a5x1   = 2.41365134159266685502369798665e-1
	a5x3   = -8.84549479328286085344864962717e-1
	a5x4   = 9.24834003261792003115737966543e-1
	a6x1   = 3.7037037037037037037037037037e-2
	a6x4   = 1.70828608729473871279604482173e-1
	a6x5   = 1.25467687566822425016691814123e-1
	a7x1   = 3.7109375e-2
	a7x4   = 1.70252211019544039314978060272e-1
	a7x5   = 6.02165389804559606850219397283e-2
	a7x6   = -1.7578125e-2
	a8x1   = 3.70920001185047927108779319836e-2
	a8x4   = 1.70383925712239993810214054705e-1
	a8x5   = 1.07262030446373284651809199168e-1
	a8x6   = -1.53194377486244017527936158236e-2
	a8x7   = 8.27378916381402288758473766002e-3
	a9x1   = 6.24110958716075717114429577812e-1
	a9x4   = -3.36089262944694129406857109825
	a9x5   = -8.68219346841726006818189891453e-1
	a9x6   = 2.75920996994467083049415600797e1
	a9x7   = 2.01540675504778934086186788979e1
	a9x8   = -4.34898841810699588477366255144e1
	a10x1  = 4.77662536438264365890433908527e-1
	a10x4  = -2.48811461997166764192642586468
	a10x5  = -5.90290826836842996371446475743e-1
	a10x6  = 2.12300514481811942347288949897e1
	a10x7  = 1.52792336328824235832596922938e1
	a10x8  = -3.32882109689848629194453265587e1
	a10x9  = -2.03312017085086261358222928593e-2
	a11x1  = -9.3714243008598732571704021658e-1
	a11x4  = 5.18637242884406370830023853209
	a11x5  = 1.09143734899672957818500254654
	a11x6  = -8.14978701074692612513997267357
	a11x7  = -1.85200656599969598641566180701e1
	a11x8  = 2.27394870993505042818970056734e1
	a11x9  = 2.49360555267965238987089396762
	a11x10 = -3.0467644718982195003823669022
	a12x1  = 2.27331014751653820792359768449
	a12x4  = -1.05344954667372501984066689879e1
	a12x5  = -2.00087205822486249909675718444
	a12x6  = -1.79589318631187989172765950534e1
	a12x7  = 2.79488845294199600508499808837e1
	a12x8  = -2.85899827713502369474065508674
	a12x9  = -8.87285693353062954433549289258
	a12x10 = 1.23605671757943030647266201528e1
	a12x11 = 6.43392746015763530355970484046e-1
	b1x8   = 5.42937341165687622380535766363e-2
	b6x8   = 4.45031289275240888144113950566
	b7x8   = 1.89151789931450038304281599044
	b8x8   = -5.8012039600105847814672114227
	b9x8   = 3.1116436695781989440891606237e-1
	b10x8  = -1.52160949662516078556178806805e-1
	b11x8  = 2.01365400804030348374776537501e-1
	b12x8  = 4.47106157277725905176885569043e-2
	a14x1  = 5.61675022830479523392909219681e-2
	a14x7  = 2.53500210216624811088794765333e-1
	a14x8  = -2.46239037470802489917441475441e-1
	a14x9  = -1.24191423263816360469010140626e-1
	a14x10 = 1.5329179827876569731206322685e-1
	a14x11 = 8.20105229563468988491666602057e-3
	a14x12 = 7.56789766054569976138603589584e-3
	a14x13 = -8.298e-3
	a15x1  = 3.18346481635021405060768473261e-2
	a15x6  = 2.83009096723667755288322961402e-2
	a15x7  = 5.35419883074385676223797384372e-2
	a15x8  = -5.49237485713909884646569340306e-2
	a15x11 = -1.08347328697249322858509316994e-4
	a15x12 = 3.82571090835658412954920192323e-4
	a15x13 = -3.40465008687404560802977114492e-4
	a15x14 = 1.41312443674632500278074618366e-1
	a16x1  = -4.28896301583791923408573538692e-1
	a16x6  = -4.69762141536116384314449447206
	a16x7  = 7.68342119606259904184240953878
	a16x8  = 4.06898981839711007970213554331
	a16x9  = 3.56727187455281109270669543021e-1
	a16x13 = -1.39902416515901462129418009734e-3
	a16x14 = 2.9475147891527723389556272149
	a16x15 = -9.15095847217987001081870187138

	// The order-3 weights, subtracted from the order-8 ones.
	low1  = 0.244094488188976377952755905512
	low9  = 0.733846688281611857341361741547
	low12 = 0.220588235294117647058823529412e-01

	fifth1  = 0.1312004499419488073250102996e-1
	fifth6  = -0.1225156446376204440720569753e+1
	fifth7  = -0.4957589496572501915214079952
	fifth8  = 0.1664377182454986536961530415e+1
	fifth9  = -0.3503288487499736816886487290
	fifth10 = 0.3341791187130174790297318841
	fifth11 = 0.8192320648511571246570742613e-1
	fifth12 = -0.2235530786388629525884427845e-1

	dense4x1  = -0.84289382761090128651353491142e+1
	dense4x6  = 0.56671495351937776962531783590
	dense4x7  = -0.30689499459498916912797304727e+1
	dense4x8  = 0.23846676565120698287728149680e+1
	dense4x9  = 0.21170345824450282767155149946e+1
	dense4x10 = -0.87139158377797299206789907490
	dense4x11 = 0.22404374302607882758541771650e+1
	dense4x12 = 0.63157877876946881815570249290
	dense4x13 = -0.88990336451333310820698117400e-1
	dense4x14 = 0.18148505520854727256656404962e+2
	dense4x15 = -0.91946323924783554000451984436e+1
	dense4x16 = -0.44360363875948939664310572000e+1
	dense5x1  = 0.10427508642579134603413151009e+2
	dense5x6  = 0.24228349177525818288430175319e+3
	dense5x7  = 0.16520045171727028198505394887e+3
	dense5x8  = -0.37454675472269020279518312152e+3
	dense5x9  = -0.22113666853125306036270938578e+2
	dense5x10 = 0.77334326684722638389603898808e+1
	dense5x11 = -0.30674084731089398182061213626e+2
	dense5x12 = -0.93321305264302278729567221706e+1
	dense5x13 = 0.15697238121770843886131091075e+2
	dense5x14 = -0.31139403219565177677282850411e+2
	dense5x15 = -0.93529243588444783865713862664e+1
	dense5x16 = 0.35816841486394083752465898540e+2
	dense6x1  = 0.19985053242002433820987653617e+2
	dense6x6  = -0.38703730874935176555105901742e+3
	dense6x7  = -0.18917813819516756882830838328e+3
	dense6x8  = 0.52780815920542364900561016686e+3
	dense6x9  = -0.11573902539959630126141871134e+2
	dense6x10 = 0.68812326946963000169666922661e+1
	dense6x11 = -0.10006050966910838403183860980e+1
	dense6x12 = 0.77771377980534432092869265740
	dense6x13 = -0.27782057523535084065932004339e+1
	dense6x14 = -0.60196695231264120758267380846e+2
	dense6x15 = 0.84320405506677161018159903784e+2
	dense6x16 = 0.11992291136182789328035130030e+2
	dense7x1  = -0.25693933462703749003312586129e+2
	dense7x6  = -0.15418974869023643374053993627e+3
	dense7x7  = -0.23152937917604549567536039109e+3
	dense7x8  = 0.35763911791061412378285349910e+3
	dense7x9  = 0.93405324183624310003907691704e+2
	dense7x10 = -0.37458323136451633156875139351e+2
	dense7x11 = 0.10409964950896230045147246184e+3
	dense7x12 = 0.29840293426660503123344363579e+2
	dense7x13 = -0.43533456590011143754432175058e+2
	dense7x14 = 0.96324553959188282948394950600e+2
	dense7x15 = -0.39177261675615439165231486172e+2
	dense7x16 = -0.14972683625798562581422125276e+3
)

// trial853 tries a step from (t, y) to t+h, leaves its end in y1, and returns
// the error norm. The slope at the end is left to finish853, since a rejected
// step does not need it.
func (s *Solver) trial853(h float64) float64 {
	f, t := s.problem.Derivative, s.t
	n := len(s.y)
	y, w, z := s.y[:n], s.stage[:n], s.y1[:n]
	k1 := s.k[0][:n]
	k2 := s.k[1][:n]
	k3 := s.k[2][:n]
	k4 := s.k[3][:n]
	k5 := s.k[4][:n]
	k6 := s.k[5][:n]
	k7 := s.k[6][:n]
	k8 := s.k[7][:n]
	k9 := s.k[8][:n]
	k10 := s.k[9][:n]
	k11 := s.k[10][:n]
	k12 := s.k[11][:n]

	for i := range n {
		w[i] = y[i] + h*(a2x1*k1[i])
	}
	f(t+h*c2x8, w, k2)
	for i := range n {
		w[i] = y[i] + h*(a3x1*k1[i]+a3x2*k2[i])
	}
	f(t+h*c3x8, w, k3)
	for i := range n {
		w[i] = y[i] + h*(a4x1*k1[i]+a4x3*k3[i])
	}
	f(t+h*c4x8, w, k4)
	for i := range n {
		w[i] = y[i] + h*(a5x1*k1[i]+a5x3*k3[i]+a5x4*k4[i])
	}
	f(t+h*c5x8, w, k5)
	for i := range n {
		w[i] = y[i] + h*(a6x1*k1[i]+a6x4*k4[i]+a6x5*k5[i])
	}
	f(t+h*c6x8, w, k6)
	for i := range n {
		w[i] = y[i] + h*(a7x1*k1[i]+a7x4*k4[i]+a7x5*k5[i]+a7x6*k6[i])
	}
	f(t+h*c7x8, w, k7)
	for i := range n {
		w[i] = y[i] + h*(a8x1*k1[i]+a8x4*k4[i]+a8x5*k5[i]+a8x6*k6[i]+a8x7*k7[i])
	}
	f(t+h*c8x8, w, k8)
	for i := range n {
		w[i] = y[i] + h*(a9x1*k1[i]+a9x4*k4[i]+a9x5*k5[i]+a9x6*k6[i]+a9x7*k7[i]+a9x8*k8[i])
	}
	f(t+h*c9x8, w, k9)
	for i := range n {
		w[i] = y[i] + h*(a10x1*k1[i]+a10x4*k4[i]+a10x5*k5[i]+a10x6*k6[i]+a10x7*k7[i]+a10x8*k8[i]+a10x9*k9[i])
	}
	f(t+h*c10x8, w, k10)
	for i := range n {
		w[i] = y[i] + h*(a11x1*k1[i]+a11x4*k4[i]+a11x5*k5[i]+a11x6*k6[i]+a11x7*k7[i]+a11x8*k8[i]+a11x9*k9[i]+a11x10*k10[i])
	}
	f(t+h*c11x8, w, k11)
	for i := range n {
		w[i] = y[i] + h*(a12x1*k1[i]+a12x4*k4[i]+a12x5*k5[i]+a12x6*k6[i]+a12x7*k7[i]+a12x8*k8[i]+a12x9*k9[i]+a12x10*k10[i]+a12x11*k11[i])
	}
	f(t+h, w, k12)
	for i := range n {
		z[i] = y[i] + h*(b1x8*k1[i]+b6x8*k6[i]+b7x8*k7[i]+b8x8*k8[i]+b9x8*k9[i]+b10x8*k10[i]+b11x8*k11[i]+b12x8*k12[i])
	}
	s.stats.Evaluations += 11

	scale := s.problem.Scale[:n]
	sum5, sum3 := 0.0, 0.0
	for i := range n {
		size := scale[i] + max(math.Abs(y[i]), math.Abs(z[i]))
		e := (fifth1*k1[i] + fifth6*k6[i] + fifth7*k7[i] + fifth8*k8[i] + fifth9*k9[i] + fifth10*k10[i] + fifth11*k11[i] + fifth12*k12[i]) / size
		sum5 += e * e
		e = ((b1x8-low1)*k1[i] + b6x8*k6[i] + b7x8*k7[i] + b8x8*k8[i] + (b9x8-low9)*k9[i] + b10x8*k10[i] + b11x8*k11[i] + (b12x8-low12)*k12[i]) / size
		sum3 += e * e
	}
	// The two estimates are mixed as in the authors' code.
	mix := sum5 + 0.01*sum3
	if mix == 0 {
		return 0
	}
	return h * sum5 / math.Sqrt(mix*float64(n)) / s.relTol
}

// finish853 completes an accepted step: the slope at its end and, when the
// dense output is wanted, the three further stages.
func (s *Solver) finish853(h float64, dense bool) {
	f, t := s.problem.Derivative, s.t
	f(t+h, s.y1, s.k[12])
	s.stats.Evaluations++
	if !dense {
		return
	}
	n := len(s.y)
	y, w := s.y[:n], s.stage[:n]
	k1 := s.k[0][:n]
	k6 := s.k[5][:n]
	k7 := s.k[6][:n]
	k8 := s.k[7][:n]
	k9 := s.k[8][:n]
	k10 := s.k[9][:n]
	k11 := s.k[10][:n]
	k12 := s.k[11][:n]
	k13 := s.k[12][:n]
	k14 := s.k[13][:n]
	k15 := s.k[14][:n]
	k16 := s.k[15][:n]

	for i := range n {
		w[i] = y[i] + h*(a14x1*k1[i]+a14x7*k7[i]+a14x8*k8[i]+a14x9*k9[i]+a14x10*k10[i]+a14x11*k11[i]+a14x12*k12[i]+a14x13*k13[i])
	}
	f(t+h*c14x8, w, k14)
	for i := range n {
		w[i] = y[i] + h*(a15x1*k1[i]+a15x6*k6[i]+a15x7*k7[i]+a15x8*k8[i]+a15x11*k11[i]+a15x12*k12[i]+a15x13*k13[i]+a15x14*k14[i])
	}
	f(t+h*c15x8, w, k15)
	for i := range n {
		w[i] = y[i] + h*(a16x1*k1[i]+a16x6*k6[i]+a16x7*k7[i]+a16x8*k8[i]+a16x9*k9[i]+a16x13*k13[i]+a16x14*k14[i]+a16x15*k15[i])
	}
	f(t+h*c16x8, w, k16)
	s.stats.Evaluations += 3
}

// dense853 writes the eight coefficients of the dense output of one coordinate,
// of the form r0 + u(r1 + v(r2 + u(r3 + v(r4 + u(r5 + v(r6 + u r7)))))), v = 1-u.
func (s *Solver) dense853(c int, r *coefficients) {
	h := s.step
	diff := s.y1[c] - s.y0[c]
	bend := h*s.k[0][c] - diff
	r[0] = s.y0[c]
	r[1] = diff
	r[2] = bend
	r[3] = diff - h*s.k[12][c] - bend

	k1, k6, k7, k8, k9, k10, k11, k12, k13, k14, k15, k16 := s.k[0][c], s.k[5][c], s.k[6][c], s.k[7][c], s.k[8][c], s.k[9][c], s.k[10][c], s.k[11][c], s.k[12][c], s.k[13][c], s.k[14][c], s.k[15][c]
	r[4] = h * (dense4x1*k1 + dense4x6*k6 + dense4x7*k7 + dense4x8*k8 + dense4x9*k9 + dense4x10*k10 + dense4x11*k11 + dense4x12*k12 + dense4x13*k13 + dense4x14*k14 + dense4x15*k15 + dense4x16*k16)
	r[5] = h * (dense5x1*k1 + dense5x6*k6 + dense5x7*k7 + dense5x8*k8 + dense5x9*k9 + dense5x10*k10 + dense5x11*k11 + dense5x12*k12 + dense5x13*k13 + dense5x14*k14 + dense5x15*k15 + dense5x16*k16)
	r[6] = h * (dense6x1*k1 + dense6x6*k6 + dense6x7*k7 + dense6x8*k8 + dense6x9*k9 + dense6x10*k10 + dense6x11*k11 + dense6x12*k12 + dense6x13*k13 + dense6x14*k14 + dense6x15*k15 + dense6x16*k16)
	r[7] = h * (dense7x1*k1 + dense7x6*k6 + dense7x7*k7 + dense7x8*k8 + dense7x9*k9 + dense7x10*k10 + dense7x11*k11 + dense7x12*k12 + dense7x13*k13 + dense7x14*k14 + dense7x15*k15 + dense7x16*k16)
}

func (r *coefficients) at853(u float64) float64 {
	v := 1 - u
	return r[0] + u*(r[1]+v*(r[2]+u*(r[3]+v*(r[4]+u*(r[5]+v*(r[6]+u*r[7]))))))
}

// inner853 gives the Bernstein coefficients of the dense output but for two at
// each end, which follow from the values and slopes there; r0 is r[0] less the
// level. The term u^i (1-u)^j adds C(7-i-j, m)/C(7, i+m) to coefficient i+m.
func (r *coefficients) inner853(r0 float64, b *bernstein) {
	b[2] = r0 + 2*r[1]/7 + (5*r[2]+r[3]+r[4])/21
	b[3] = r0 + 3*r[1]/7 + 2*r[2]/7 + (4*r[3]+3*r[4]+r[5]+r[6])/35
	b[4] = r0 + 4*r[1]/7 + 2*r[2]/7 + (6*r[3]+3*r[4]+2*r[5]+r[6]+r[7])/35
	b[5] = r0 + 5*r[1]/7 + (5*r[2]+4*r[3]+r[4]+r[5])/21
}
