// Where a page goes on after somebody has signed in: the part of its address behind `#`, kept while the tab is open.

export const NEXT = "samebreath.next";
