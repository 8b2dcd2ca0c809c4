package colormath

import "math"

// How much darker grout looks when damp or under an enhancing sealer. A film of
// water sends part of the scattered light back down, where it is absorbed on
// its next visit (Ångström, Geogr. Ann. 7, 323, 1925); water between the grains
// also makes each grain reflect less (Lekner and Dorf, Appl. Opt. 27, 1278,
// 1988). For mid greys this is 10 to 13 units of L*, for near-white about 7.
//
// No published wet and dry table of cement grout was found. Smooth concretes of
// mean solar albedo .59 lost .23 when wetted (Levinson and Akbari, Cem. Concr.
// Res. 32, 1679, 2002); the film alone says .18, because pores fill and scatter
// less. So a range is given, from the film to that measured loss; one photo of
// a dry and a damp spot of the same grout narrows it (see [ScatterLoss]).

// Film is a clear liquid or coating on a matt surface.
type Film struct {
	Index float64 // refractive index of the film, above 1
	Grain float64 // refractive index of the grains below it, at least Index
}

// The two states that the program offers. Grains: 1.5, between the 1.5 and 2 of
// soil models; 2 would change L* by .3.
var (
	// Water is the film of a damp joint.
	Water = Film{Index: 1.333, Grain: 1.5}
	// Enhancer is a film-forming or enhancing sealer, which stays: acrylics and
	// silicones have an index of 1.40 to 1.50.
	Enhancer = Film{Index: 1.45, Grain: 1.5}
)

// soakLoss is q at which a dry reflectance of .59 becomes .36, the concretes'
// measured loss; see [Soak].
const soakLoss = 0.25

// Wet returns the reflectance, 0…1, under the film of a surface that reflects r
// when dry; r is clipped to 0…1. The mirror image of the lamp on the film is
// not added (one looks past it) but the light that it takes away is missing.
// Apply it to each linear band.
func (f Film) Wet(r float64) float64 {
	// Lekner and Dorf 1988: a is absorbed on each visit, more when wet.
	a := 1 - max(0, min(r, 1))
	a *= (1-a)*(1-MeanReflectance(f.Grain/f.Index))/(1-MeanReflectance(f.Grain)) + a
	p := InternalReflectance(f.Index)
	return (1 - NormalReflectance(f.Index)) * (1 - p) * (1 - a) / (1 - p*(1-a))
}

// Damp returns the dry colour under the film.
func (f Film) Damp(dry LinearRGB) LinearRGB {
	return LinearRGB{f.Wet(dry.R), f.Wet(dry.G), f.Wet(dry.B)}
}

// DampRange returns the darker and the lighter estimate of the dry colour when
// damp, channel by channel: the water film, and [Soak] with the loss of smooth
// concretes. The film is the lighter one but for near-white, above about .85.
func DampRange(dry LinearRGB) (darker, lighter LinearRGB) {
	film := Water.Damp(dry)
	soak := LinearRGB{Soak(dry.R, soakLoss), Soak(dry.G, soakLoss), Soak(dry.B, soakLoss)}
	return LinearRGB{min(film.R, soak.R), min(film.G, soak.G), min(film.B, soak.B)},
		LinearRGB{max(film.R, soak.R), max(film.G, soak.G), max(film.B, soak.B)}
}

// Soak returns the reflectance of a layer whose grains scatter only the share
// q, above 0…1, of what they scattered when dry: K/S is divided by q. This is
// the one-number form of more forward scattering in water (Twomey, Bohren and
// Mergenthaler, Appl. Opt. 25, 431, 1986).
func Soak(r, q float64) float64 { return KubelkaMunkInverse(KubelkaMunk(r) / q) }

// ScatterLoss is the q that takes the reflectance dry to the reflectance damp
// of one spot, measured in the same light; the inverse of [Soak]. Reflectances
// are taken within .005….98, and above 1 means that the damp one was lighter.
func ScatterLoss(dry, damp float64) float64 { return KubelkaMunk(dry) / KubelkaMunk(damp) }

// NormalReflectance is the share of light that a smooth surface of index n
// against air returns at right angles (Fresnel): ((n − 1)/(n + 1))².
func NormalReflectance(n float64) float64 {
	r := (n - 1) / (n + 1)
	return r * r
}

// MeanReflectance is the share of perfectly diffuse light that a smooth surface
// of index n, 1 or more, returns from outside: the closed form of Stern as
// given by Lekner and Dorf 1988. Below n 1.01 it loses digits to cancellation;
// at 1 it is 0.
func MeanReflectance(n float64) float64 {
	if n <= 1 {
		return 0
	}
	n2 := n * n
	plus, minus := n2+1, n2-1
	return (3*n2+2*n+1)/(3*(n+1)*(n+1)) -
		2*n2*n*(n2+2*n-1)/(plus*plus*minus) +
		n2*plus*math.Log(n)/(minus*minus) -
		n2*minus*minus/(plus*plus*plus)*math.Log(n*(n+1)/(n-1))
}

// InternalReflectance is the share of perfectly diffuse light that the same
// surface returns from inside, total reflection included: 1 − (1 − R̄)/n².
func InternalReflectance(n float64) float64 { return 1 - (1-MeanReflectance(n))/(n*n) }
