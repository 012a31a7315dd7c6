package web

import "saltbush/web/kit"

// AllRoutes lists the routes without a server behind them.
func AllRoutes() []Route { return (&Server{Kit: &kit.Kit{}}).Routes() }
