package quantity

// Source says in plain words where a figure comes from. Makers and sellers are
// not named; standards are quoted through the carrier that was read.
type Source string

// What is not published is said as such.
const (
	Geometry       Source = "Geometry, recomputed"
	CommonPractice Source = "Common practice, no source"
	FromMemory     Source = "From memory, check before relying on it"
	Ours           Source = "Our rule of thumb, no source"
)

// Amounts.
const (
	CoverageChart Source = "A maker's coverage chart: 31 rows agree with one density per kind, 1.590–1.616 kg of powder per litre of joint unsanded, 1.566–1.594 sanded"
	SecondMaker   Source = "A second maker: 5 kg fill 23–24 m² of 300 × 300 × 10 mm tile with 2 mm joints"
	MerchantChart Source = "A tile merchant's chart of 2010, with 10 % waste in it"
	BenchGuide    Source = "A mosaic supplier's guide, \"How Much Grout Do I Need?\": 0.5 to 1 lb per square foot used, where 0.19 lb lies in the gaps"
	SmallBatches  Source = "Two mosaic suppliers' guides: most of a small mix stays on bucket, tools and gloves, and less than a pound dries out early"
	CementDensity Source = "Cement density pages: 94 lb per cubic foot, 830 to 1650 kg/m³ as poured to settled"
	WaterFine     Source = "A maker's sheet, unsanded: 3 US pints of water to 10 lb"
	WaterCoarse   Source = "A maker's sheet, sanded for wide joints: 5.5 US quarts of water to 50 lb"
	Definitions   Source = "NIST Handbook 44, appendix C (figures from memory)"
	ASTMC979      Source = "ASTM C979, clause 1.4"
)

// Kind and joints.
const (
	ANSIJoint     Source = "ANSI A108.02, section 4.3.8, as quoted in TILE Letter, February 2019"
	KindRule      Source = "Trade press (Floor Trends, \"Mop water gray\") and general sites"
	StudioSanded  Source = "A mosaic supplier's guide, \"When To Use Sanded Grout\""
	GlassPage     Source = "A glass-tile page: quartz is harder than glass (Mohs 7 against about 5.5)"
	StoneManual   Source = "TILE Letter, May 2018, stone section 3.2"
	FineSheet     Source = "A maker's sheet of a fine CG2 WA grout, joints up to 4 mm"
	WideSheet     Source = "A maker's sheet of a wide-joint grout, 1/2 to 1 1/4 in"
	EN13888       Source = "EN 13888 and ISO 13007-3 classes, as listed by ANFAPA"
	TileInstitute Source = "Institut de Promocio Ceramica, selection criteria"
	A1186         Source = "ANSI A118.6, as quoted on a maker's sheet"
	A1187         Source = "ANSI A118.7, as quoted on a maker's sheet"
	NHBC          Source = "NHBC Standards 9.1.7, January 2025"
	AS3958        Source = "AS 3958.1-2007, as quoted by a trade bulletin"
	DIN18157      Source = "DIN 18157, as quoted on a trade page"
	EJ171         Source = "TCNA EJ171, as quoted in TileLetter, \"Movement joints\""
	Thickness     Source = "Enslen 2008, tessera thickness and size"
)

// Time.
const (
	TCNAColor    Source = "TCNA, questions on colour variation"
	A10810       Source = "ANSI A108.10, as quoted in MMSA Bulletin 9 (2005)"
	FiveDegrees  Source = "A maker's questions and answers: never under 5 °C"
	HalvingRule  Source = "Makers' hot and cold weather rules, 2009–2018"
	MosaicWipes  Source = "A mosaic teacher's grouting instructions"
	PotLifeSheet Source = "Makers' sheets to ANSI A118.6 and A118.7: pot life 1 to 2 h"
	StorePage    Source = "A mosaic store's grouting tips"
	SupplierPage Source = "A mosaic supplier's page, \"Grout Problems\""
	Mottle       Source = "Concrete Construction, tips on coloured concrete"
	Seal72       Source = "A cleaning firm's advice: seal after 72 h"
	Seal28       Source = "A newspaper's home column, 2014: some sealers ask 28 days"
	Strength28   Source = "Test age of ANSI A118.6, as quoted on a maker's sheet"
	TwoThirds    Source = "Floor Trends, \"Just do it, just don't do it\""
	HalfWay      Source = "Canzoneri, \"Grouting mosaics\""
	PowderYes    Source = "A mosaic writer, \"Getting Started in Mosaics\", part 6"
	PowderNo     Source = "A maker's bulletin, \"Grout color: why does it look different?\""
	PorousFirst  Source = "Gobis, \"Grouting magic\"; a mosaic supplier's page; TILE Letter, May 2018"
)

// Safety.
const (
	HSESilica   Source = "HSE INDG463 (2013)"
	Masks       Source = "NIOSH 2008-140; UK silica guidance (FFP3, fit test)"
	HSECement   Source = "HSE CIS26 rev 2"
	OSHACement  Source = "OSHA 3351-07 (2008)"
	ChromiumLaw Source = "REACH Annex XVII, entry 47; CLP Annex II, 2.3"
	FirstAid    Source = "NHS first-aid text"
	EPADrains   Source = "EPA 833-F-11-006, as quoted by Macomb County; Napa County"
	OEHHA       Source = "OEHHA, Art and Craft Materials in Schools, 2019"
	SprayStudy  Source = "UK poisons service, doi 10.1080/15563650.2017.1296154 (2017)"
	OldGlaze    Source = "HUD Guidelines 2012; CTIOA Field Report 79"
	FrostPages  Source = "TCNA, questions on frost; Floor Covering Installer"
	SlipTests   Source = "Slip-testing pages on ANSI A326.3"
	ClayStains  Source = "A mosaic supplier's page, \"How To Fix Grout Mistakes\" (2013); Gobis, \"Grouting magic\""
)

// Line is one sentence for people and where it comes from.
type Line struct {
	Text    string
	Sources []Source
}

// Remark is a Line that the program raises about this very job; Code is for
// machines.
type Remark struct {
	Code string
	Line
}

func line(text string, sources ...Source) Line { return Line{text, sources} }
