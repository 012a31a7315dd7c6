// Package heat turns plain weather into what it does to a walker: the air's course over a
// day and with height, the wet-bulb globe temperature (WBGT), the heat index, and the
// limits and house rules that hold against them.
//
// The WBGT is the model of Liljegren et al. 2008, written here from its energy balances
// and solved to convergence. In dry desert the heat index stays at or below the air
// temperature and is blind to sun and wind: show it, decide on Felt and WBGT.
package heat
