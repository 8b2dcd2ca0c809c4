module gapshade

go 1.26
