/* The model's equations for SUNDIALS CVODE (Adams method, fixed-point
 * iteration, root finding for the contacts, CVodeReInit after each root), to
 * measure the speed of engine/ode against a general-purpose library at equal
 * error. It is written from the equations and shares no code with the Go
 * model.
 *
 *     cc -O2 -o cvode cvode.c -lsundials_cvode -lsundials_nvecserial -lm
 *     cvode RTOL SECONDS < input
 *
 * Input: lines "PART.KEY VALUE" with the card's constants in SI units, then
 * "load.torque", "load.resistance" (0 for none), "closed", "shut" and "y0".."y13"
 * with the state at the start. Output: the processor time in s, then the state
 * at the end.
 */
#include <cvode/cvode.h>
#include <math.h>
#include <nvector/nvector_serial.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sunnonlinsol/sunnonlinsol_fixedpoint.h>
#include <time.h>

#define PI 3.14159265358979323846
#define G 9.81

static struct { char key[64]; double value; } given[256];
static int count;

static double find(const char *key, int need) {
	for (int i = 0; i < count; i++)
		if (!strcmp(given[i].key, key)) return given[i].value;
	if (need) { fprintf(stderr, "no %s\n", key); exit(1); }
	return NAN;
}

struct curve { double kr, k1, is, p, nu, ls, kh, ke, k0; };
struct tone { double r, emf, x; };

static int whole, closed, stopped, shut, topped;
static double load, rheostat;
static double Eb, Rb, Ra, La, Vb, I0, Rf, Rg, J, Tc, B, kw, rc, wc, w0, zeta, m, kc, beta, stop, ks_, ds_;
static double gRa, gLa, gRf, gRs, Rc, L0, Lp, M, W0, ks, c, kcr, b, zt, kt, bt, hy, tauR, tauF, angle;
static struct curve mot, gen;
static struct tone tones[2];

static struct curve curve(const char *part) {
	struct curve k;
	char s[64];
	struct { const char *key; double *to; } all[] = {
		{"residual-constant", &k.kr}, {"constant-slope", &k.k1}, {"saturation-current", &k.is},
		{"saturation-sharpness", &k.p}, {"field-linkage", &k.nu}, {"field-leakage-inductance", &k.ls},
		{"iron-hysteresis", &k.kh}, {"iron-eddy", &k.ke}, {"iron-reference", &k.k0}};
	for (unsigned i = 0; i < sizeof all / sizeof *all; i++) {
		snprintf(s, sizeof s, "%s.%s", part, all[i].key);
		*all[i].to = find(s, 1);
	}
	return k;
}

static double constant(const struct curve *k, double i, double *slope) {
	double u = fabs(i / k->is);
	double base = 1 + (k->p == 2 ? u * u : pow(u, k->p));
	double f = k->p == 2 ? 1 / sqrt(base) : pow(base, -1 / k->p);
	*slope = k->k1 * f / base;
	return k->kr + k->k1 * i * f;
}

static int rates(realtype t, N_Vector yv, N_Vector dv, void *user) {
	const double *y = N_VGetArrayPointer(yv);
	double *d = N_VGetArrayPointer(dv);
	double ia = y[0], jf = y[1], w = y[2], th = y[3], s = y[4], v = y[5];
	double way = tanh(w / 0.5), sn = sin(th), cs = cos(th), dK;
	(void)t; (void)user;
	double K = constant(&mot, jf, &dK);
	double V = Eb - Rb * (ia + jf);
	d[0] = (V - Ra * ia - Vb * ia / sqrt(ia * ia + I0 * I0) - K * w) / La;
	d[1] = (V - (Rf + (closed ? 0 : Rg)) * jf) / (mot.ls + mot.nu * dK);
	double pull = K * ia - (K / mot.k0) * (K / mot.k0) * (mot.kh * way + mot.ke * w)
		- load * way - Tc * way - B * w - kw * w * fabs(w);
	if (whole) {
		double ig = y[6], ir = y[7], is = y[10], z = y[11], vz = y[12], dKg;
		double Kg = constant(&gen, ig, &dKg), E = Kg * w;
		double sine = angle == 0 ? sn : sin(th + angle);
		double Lc = L0 + Lp * z, Rcz = Rc + Lp * vz, S = 1 / Lc, W = Rcz * is / Lc, iac = is, Lr = 0;
		if (rheostat > 0) {
			Lr = tauR * rheostat;
			S += 1 / Lr;
			W += rheostat * ir / Lr;
			iac += ir;
		}
		double vac = (E * sine - gRa * (iac + ig * sine) + gLa * W) / (1 + gLa * S);
		d[6] = (E - gRa * (ig + iac * sine) - (gRf + (shut ? 0 : gRs)) * ig) / (gen.ls + gen.nu * dKg);
		d[7] = rheostat > 0 ? (vac - rheostat * ir) / Lr : 0;
		d[8] = d[9] = 0;
		d[10] = (vac - Rcz * is) / Lc;
		d[11] = vz;
		double f = 0.5 * Lp * is * is - W0 - ks * z - c * vz;
		if (shut) f -= kcr * z * fmax(0, 1 - b * vz);
		if (topped) f -= kt * (z - zt) * fmax(0, 1 + bt * vz);
		d[12] = f / M;
		d[13] = (ia * ia - y[13]) / tauF;
		pull -= Kg * (ig + iac * sine) + (Kg / gen.k0) * (Kg / gen.k0) * (gen.kh * way + gen.ke * w);
		for (int i = 0; i < 2; i++) {
			double x = tones[i].x * w;
			pull -= tones[i].emf * tones[i].emf * w * tones[i].r / (2 * (tones[i].r * tones[i].r + x * x));
		}
	}
	double rho = rc + s;
	pull -= m * rho * (G * sn + 2 * v * w);
	d[2] = pull / (J + m * rho * rho);
	d[3] = w;
	d[4] = v;
	d[5] = w * w * rho - wc * wc * rc - w0 * w0 * s - 2 * zeta * w0 * v + G * cs;
	if (closed) d[5] -= kc / m * s * fmax(0, 1 + beta * v);
	if (stopped) d[5] -= (ks_ * (s - stop) + ds_ * v) / m;
	return 0;
}

static int levels(realtype t, N_Vector yv, realtype *g, void *user) {
	const double *y = N_VGetArrayPointer(yv);
	(void)t; (void)user;
	g[0] = y[4];
	g[1] = y[4] - stop;
	if (whole) {
		g[2] = y[11] - (shut ? hy : -hy);
		g[3] = y[11] - zt;
	}
	return 0;
}

static void check(int flag, const char *what) {
	if (flag < 0) { fprintf(stderr, "%s: %d\n", what, flag); exit(1); }
}

int main(int argc, char **argv) {
	if (argc != 3) return 2;
	double rtol = atof(argv[1]), seconds = atof(argv[2]);
	while (count < 256 && scanf("%63s %lf", given[count].key, &given[count].value) == 2) count++;
	whole = !isnan(find("generator.armature-resistance", 0));
	int n = whole ? 14 : 6, roots = whole ? 4 : 2;
	Eb = find("battery.voltage", 1); Rb = find("battery.resistance", 1);
	Ra = find("motor.armature-resistance", 1); La = find("motor.armature-inductance", 1);
	Vb = find("motor.brush-drop", 1); I0 = find("motor.brush-drop-current", 1);
	Rf = find("motor.field-resistance", 1); Rg = find("motor.field-resistor", 1);
	mot = curve("motor");
	J = find("shaft.inertia", 1); Tc = find("shaft.friction", 1); B = find("shaft.viscous-friction", 1); kw = find("shaft.windage", 1);
	rc = find("governor.radius", 1); wc = 2 * PI * find("governor.contact-speed", 1); w0 = 2 * PI * find("governor.spring-frequency", 1);
	zeta = find("governor.damping", 1); m = find("governor.weight", 1); kc = find("governor.contact-stiffness", 1);
	beta = find("governor.contact-loss", 1); stop = find("governor.stop-travel", 1);
	ks_ = find("governor.stop-stiffness", 1); ds_ = find("governor.stop-damping", 1);
	load = find("load.torque", 1); rheostat = find("load.resistance", 1);
	if (whole) {
		gen = curve("generator");
		gRa = find("generator.armature-resistance", 1); gLa = find("generator.armature-inductance", 1);
		gRf = find("generator.field-resistance", 1); gRs = find("generator.field-resistor", 1);
		Rc = find("regulator.coil-resistance", 1); L0 = find("regulator.coil-inductance", 1); Lp = find("regulator.coil-inductance-slope", 1);
		M = find("regulator.plunger-mass", 1); W0 = find("regulator.plunger-weight", 1); ks = find("regulator.spring-stiffness", 1);
		c = find("regulator.damping", 1); kcr = find("regulator.contact-stiffness", 1); b = find("regulator.contact-loss", 1);
		hy = find("regulator.contact-hysteresis", 1); zt = find("regulator.stop-travel", 1); kt = find("regulator.stop-stiffness", 1); bt = find("regulator.stop-loss", 1);
		tauR = find("rheostat.time-constant", 1); tauF = find("fuse.time-constant", 1); angle = find("output.angle", 1);
		const char *name[2] = {"low-tone", "high-tone"};
		for (int i = 0; i < 2; i++) {
			char k[64];
			double part[6];
			const char *key[6] = {"teeth", "linkage-slope", "exciting-current", "winding-resistance", "winding-inductance", "load-resistance"};
			for (int j = 0; j < 6; j++) { snprintf(k, sizeof k, "%s.%s", name[i], key[j]); part[j] = find(k, 1); }
			tones[i].r = part[3] + part[5];
			tones[i].emf = part[0] * part[1] * part[2];
			tones[i].x = part[0] * part[4];
		}
	}
	SUNContext ctx;
	check(SUNContext_Create(NULL, &ctx), "context");
	N_Vector y = N_VNew_Serial(n, ctx), tol = N_VNew_Serial(n, ctx);
	const double scale[14] = {1, 0.1, 10, 1, 1e-4, 1e-2, 0.1, 1, 0.01, 10, 0.01, 1e-4, 1e-2, 10};
	for (int i = 0; i < n; i++) {
		char k[8];
		snprintf(k, sizeof k, "y%d", i);
		N_VGetArrayPointer(y)[i] = find(k, 1);
		N_VGetArrayPointer(tol)[i] = rtol * scale[i];
	}
	closed = find("closed", 1) != 0;
	shut = whole && find("shut", 1) != 0;
	void *cv = CVodeCreate(CV_ADAMS, ctx);
	check(CVodeInit(cv, rates, 0, y), "init");
	check(CVodeSVtolerances(cv, rtol, tol), "tolerances");
	check(CVodeSetNonlinearSolver(cv, SUNNonlinSol_FixedPoint(y, 0, ctx)), "solver");
	check(CVodeRootInit(cv, roots, levels), "roots");
	check(CVodeSetMaxNumSteps(cv, 100000000), "steps");
	check(CVodeSetStopTime(cv, seconds), "stop");
	clock_t began = clock();
	realtype t = 0;
	while (t < seconds) {
		int way[4] = {closed ? -1 : 1, stopped ? -1 : 1, shut ? 1 : -1, topped ? -1 : 1};
		check(CVodeSetRootDirection(cv, way), "direction");
		int flag = CVode(cv, seconds, y, &t, CV_NORMAL);
		check(flag, "step");
		if (flag != CV_ROOT_RETURN) continue;
		int found[4] = {0};
		check(CVodeGetRootInfo(cv, found), "root");
		double *x = N_VGetArrayPointer(y);
		if (found[0]) { x[4] = 0; closed = !closed; }
		if (found[1]) { x[4] = stop; stopped = !stopped; }
		if (whole && found[2]) { x[11] = shut ? hy : -hy; shut = !shut; }
		if (whole && found[3]) { x[11] = zt; topped = !topped; }
		check(CVodeReInit(cv, t, y), "again");
		check(CVodeSetStopTime(cv, seconds), "stop");
	}
	printf("%.9g\n", (double)(clock() - began) / CLOCKS_PER_SEC);
	for (int i = 0; i < n; i++) printf("%.17g\n", N_VGetArrayPointer(y)[i]);
	return 0;
}
