// Package letter writes the owner's year on one page, out of the history: what sun
// and meter brought, what that is in money and against the plan, on how many days
// hot water ran short, what broke and what wants looking after. It is made for
// people who own a plant and have never opened its page, as a page to print and as
// plain text. What the history does not tell, it says.
package letter
