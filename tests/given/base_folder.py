"""A small works folder that is right, invented: two covers in Quernford, one night. Tests spoil one thing of it."""

from __future__ import annotations

WORKS = """\
name = "Quernford ironwork, spring"
reference = "QF-27-03"
rule_set = "uk"
time_zone = "Europe/London"
latitude_deg = 52.6
longitude_deg = -1.4
coordinate_system = "local"
holiday_calendar = "none"
currency = "GBP"
language = "en-GB"
wanted_probability = 0.95
"""

COVERS = """\
cover,street,kind,shape,opening_along_mm,opening_across_mm,body_along_mm,body_across_mm,flange_along_mm,\
flange_across_mm,frame_depth_mm,flange_thick_mm,frame_mass_kg,chamber_shape,chamber_along_mm,chamber_across_mm,wall_mm,\
chamber_depth_mm,load_class,place,method,sound_margin_mm,bound_depth_mm,severity,turn_deg,x_m,y_m,kerb_side,kerb_mm,\
lane_position,homes_within_50_m,remark
F-1,Tallow Row,cover,rectangle,600,600,690,690,850,850,150,12,95,rectangle,675,675,215,185,D400,carriageway,\
five-layer,150,180,60,,4120.5,987.2,,,nearside wheel path,14,rocks under buses
G-2,Weir Cross,gully,rectangle,450,430,510,490,610,590,100,12.5,62,round,500,,150,140,D400,kerbside,\
five-layer,120,160,35,,,,left,420,by the kerb,3,
"""

READINGS = """\
cover,point,x_mm,y_mm,kind,value_mm,where,set_up
F-1,R1,560,560,level,-8,road,
F-1,R2,0,560,level,-14,road,
F-1,R3,-560,560,level,-19,road,
F-1,R4,-560,0,level,-6,road,
F-1,R5,-560,-560,level,8,road,
F-1,R6,0,-560,level,14,road,
F-1,R7,560,-560,level,20,road,
F-1,R8,560,0,level,5,road,
F-1,F1,345,345,level,-22,frame,
F-1,F2,-345,345,level,-30,frame,
F-1,F3,-345,-345,level,-14,frame,
F-1,F4,345,-345,level,-6,frame,
G-2,BM,0,0,staff,1240,bench mark,A
G-2,R1,450,380,staff,1252,road,A
G-2,R2,450,-450,staff,1231,road,A
G-2,R3,0,-450,staff,1235,road,A
G-2,R4,-450,-450,staff,1240,road,A
G-2,R5,-450,380,staff,1261,road,A
G-2,K1,0,450,staff,1130,kerb,A
G-2,R6,0,380,staff,1256,road,A
"""

CLOSURES = """\
closure,streets,kind,road_shut_from,road_open_by,noisy_work_ends,tm_set_min,tm_clear_min,mix_temp_c,speed_mph,lanes
N-1,Tallow Row|Weir Cross,full,2027-03-11T20:00+00:00,2027-03-12T05:30+00:00,2027-03-11T23:00+00:00,25,20,12.5,30,2
"""

PEOPLE = """\
person,skills,closures
ganger,saw|lift,N-1
resin hand,resin|lift,
labourer 1,,
"""

TOOLS = """\
tool,kind,count,capacity_l,blade_mm,vibration_m_per_s2,vibration_source
saw 450,saw,1,,450,5.5,measured in the yard
breaker,breaker,1,,,11,maker's handbook
paddle mixer,mixer,2,40,,,
lifter,lifter,1,,,,
"""

WEATHER = """\
at,air_temp_c,road_temp_c,humidity_pct,wind_m_per_s,cloud_share,rain_mm
2027-03-11T20:00+00:00,7.5,6,82,3.2,0.6,0
2027-03-11T21:00+00:00,7,5.5,84,3,0.7,0.2
2027-03-11T22:00+00:00,6.5,,,,,
"""

STOCK = """\
sheet,lot,kits,expires
harrow-bed,L-0417,12,2027-09-30
harrow-bed,L-0502,4,
"""

CONDITION = """\
cover,lid_step_mm,rock_mm,seat_wear_class,hollow_taps_pct,courses,crack_mm,polish
F-1,4,2.5,1,40,"two, sound",6,smooth
"""

OBSTACLES = """\
cover,what,x_mm,y_mm,along_mm,across_mm,turn_deg,clear_mm
F-1,valve box,800,-650,150,120,15,100
G-2,post,500,-700,90,90,,
"""

SOUNDINGS = """\
cover,point,kind,x_mm,y_mm,found,to_x_mm,to_y_mm,width_mm
F-1,S1,tap,520,0,hollow,,,
F-1,S2,tap,640,0,sound,,,
F-1,C1,crack,345,200,cracked,600,310,3
F-1,P1,probe,-360,0,loose,,,
"""

UNITS = """\
unit,kind,height_mm,count,fits,work_min
course 75,course,75,40,600 square,20
ring 50,ring,50.5,6,,
"""

TEXTS = {
    "works.toml": WORKS,
    "covers.csv": COVERS,
    "readings.csv": READINGS,
    "closures.csv": CLOSURES,
    "people.csv": PEOPLE,
    "tools.csv": TOOLS,
    "weather.csv": WEATHER,
    "stock.csv": STOCK,
    "condition.csv": CONDITION,
    "obstacles.csv": OBSTACLES,
    "soundings.csv": SOUNDINGS,
    "units.csv": UNITS,
}


def base_folder() -> dict[str, bytes]:
    """The folder's own files; its method ('five-layer') and sheet ('harrow-bed') are only named, not in it."""
    return {name: text.encode("utf-8") for name, text in TEXTS.items()}


def spoilt(file: str, old: str, new: str) -> dict[str, bytes]:
    """The base folder with one place of one file changed; the place must be there, once."""
    text = TEXTS[file]
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {file}"
    return base_folder() | {file: text.replace(old, new).encode("utf-8")}
