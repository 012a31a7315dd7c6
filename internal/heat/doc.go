// Package heat turns plain weather into what a walker feels: the air temperature over a day and with height, the
// wet-bulb globe temperature (WBGT), the heat index, and the limits and house rules for them.
//
// The WBGT follows the model of Liljegren et al. 2008, written from its energy balances and solved to convergence. In
// dry desert the heat index stays at or below the air temperature and ignores sun and wind: show it, but decide by
// Felt and WBGT.
package heat
