/* The fastest loops found for a batch of sweeps: what the arrays are held against.

   One thread, no allocation, one pass over layouts x positions, everything inlined so
   that the compiler vectorises; cosines and sines of the even steps by doubling; inverse
   sine by a polynomial that is right to about 1e-15. Build: cc -O3 -march=native
   -ffast-math -shared -fPIC. Lengths in mm, angles in rad; n layouts, m <= 512 positions.
   Each layout is a row of numbers, see the Python side for their order. */

#include <math.h>

#define MOST 512

static inline double inverse_sine(double x) {
    double a = fabs(x);
    int far = a > 0.5;
    double z = far ? 0.5 * (1.0 - a) : a * a;
    double y = far ? sqrt(z) : a;
    /* Chebyshev fit of (asin(y) / y - 1) / y^2 over 0 <= y <= 0.5, to 3e-16. */
    double p = 0.028169218222999898;
    p = p * z + -0.010749050572091341;
    p = p * z + 0.016035514493949317;
    p = p * z + 0.0078029494259423985;
    p = p * z + 0.011875494394093739;
    p = p * z + 0.013929652900662798;
    p = p * z + 0.017355259955944624;
    p = p * z + 0.022372047631734844;
    p = p * z + 0.030381947367098841;
    p = p * z + 0.044642857103423636;
    p = p * z + 0.075000000000207644;
    p = p * z + 0.16666666666666649;
    double r = y + y * z * p;
    r = far ? 1.5707963267948966 - 2.0 * r : r;
    return copysign(r, x);
}

/* cos + i sin of k step, k = 0 .. m - 1. */
static inline void fan(double step, int m, double *restrict c, double *restrict s) {
    c[0] = 1.0;
    s[0] = 0.0;
    for (int known = 1; known < m; known *= 2) {
        double lc = cos(step * known), ls = sin(step * known);
        int more = known < m - known ? known : m - known;
        for (int k = 0; k < more; k++) {
            c[known + k] = c[k] * lc - s[k] * ls;
            s[known + k] = c[k] * ls + s[k] * lc;
        }
    }
}

static inline double corner(double ax, double az, double bx, double bz, double ab) {
    return 1.5707963267948966 - inverse_sine((ax * bx + az * bz) / ab);
}

/* Row: arm x, z (pivot to hole), pivot x, z seen from the seat along the axis, rod,
   step, turn per mm, length of the arm. Out: stroke, ratio, rod angle, crank angle. */
void direct(int n, int m, const double *restrict rows, double *restrict stroke,
            double *restrict ratio, double *restrict lean, double *restrict crank) {
    double c[MOST], s[MOST];
    for (int i = 0; i < n; i++) {
        const double *q = rows + 8 * i;
        double ax = q[0], az = q[1], px = q[2], pz = q[3], rod = q[4], rate = q[6];
        double one = 1.0 / rod, both = q[7] * rod;
        fan(q[5], m, c, s);
        for (int k = 0; k < m; k++) {
            double x = c[k] * ax - s[k] * az, z = c[k] * az + s[k] * ax;
            double w = z + pz, share = sqrt((rod - w) * (rod + w));
            double e = x + px + share;
            int at = i * m + k;
            stroke[at] = e > 0.0 ? e : 0.0;
            ratio[at] = -share / (rate * (z * share + w * x));
            lean[at] = -inverse_sine(w * one);
            crank[at] = corner(-x, -z, share, -w, both);
        }
    }
}

/* Row: arm x, z, pivot x, z seen from the lever's pivot, 0, step, turn per mm, 0,
   (c + r)^2, (c - r)^2, (c + r)(c - r), branch, then the output x, z over the squared
   input arm times the mirrored input (one complex factor), the lever's pivot x, z seen
   from the seat, second rod, output arm. Out: as direct. */
void crank(int n, int m, const double *restrict rows, double *restrict stroke,
           double *restrict ratio, double *restrict lean, double *restrict angle) {
    double c[MOST], s[MOST];
    for (int i = 0; i < n; i++) {
        const double *q = rows + 18 * i;
        double ax = q[0], az = q[1], px = q[2], pz = q[3], rate = q[6];
        double more = q[8], less = q[9], diff = q[10], sign = q[11];
        double fx = q[12], fz = q[13], lx = q[14], lz = q[15], rod = q[16];
        double one = 1.0 / rod, both = q[17] * rod;
        fan(q[5], m, c, s);
        for (int k = 0; k < m; k++) {
            double x = c[k] * ax - s[k] * az, z = c[k] * az + s[k] * ax;
            double bx = x + px, bz = z + pz, d2 = bx * bx + bz * bz;
            double h = 0.5 / d2, gx = (d2 + diff) * h;
            double gz = sign * sqrt((more - d2) * (d2 - less)) * h;
            double mx = bx * gx - bz * gz, mz = bx * gz + bz * gx;
            double rx = bx - mx, rz = bz - mz;
            double turn = rate * (rz * x - rx * z) / (rz * mx - rx * mz);
            double ox = mx * fx - mz * fz, oz = mx * fz + mz * fx;
            double w = oz + lz, share = sqrt((rod - w) * (rod + w));
            double e = ox + lx + share;
            int at = i * m + k;
            stroke[at] = e > 0.0 ? e : 0.0;
            ratio[at] = -share / (turn * (oz * share + w * ox));
            lean[at] = -inverse_sine(w * one);
            angle[at] = corner(-ox, -oz, share, -w, both);
        }
    }
}

/* Row: arm x, z, pivot x, z seen from the ferrule, run at rest, step, turn per mm, arm,
   (c)^2 + k^2, 1 / (2 c k), slack, free run at the far end, branch, angle at rest.
   Out: pull, ratio, lever turn, crank angle. */
void cable(int n, int m, const double *restrict rows, double *restrict pull,
           double *restrict ratio, double *restrict turn, double *restrict angle) {
    double c[MOST], s[MOST];
    for (int i = 0; i < n; i++) {
        const double *q = rows + 14 * i;
        double ax = q[0], az = q[1], px = q[2], pz = q[3], start = q[4], rate = q[6];
        double arm = q[7], squares = q[8], twice = q[9], slack = q[10], free = q[11];
        double sign = q[12], zero = q[13];
        fan(q[5], m, c, s);
        for (int k = 0; k < m; k++) {
            double x = c[k] * ax - s[k] * az, z = c[k] * az + s[k] * ax;
            double bx = x + px, bz = z + pz, run = sqrt(bx * bx + bz * bz);
            double drawn = run - start, taken = drawn - slack;
            double left = free - (taken > 0.0 ? taken : 0.0);
            int at = i * m + k;
            pull[at] = drawn;
            ratio[at] = run / (rate * (bz * x - bx * z));
            double lever = 1.5707963267948966 -
                           inverse_sine((squares - left * left) * twice);
            turn[at] = sign * (lever - zero);
            angle[at] = corner(-x, -z, -bx, -bz, arm * run);
        }
    }
}
