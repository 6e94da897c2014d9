//! Order and components against the petgraph library, on graphs drawn at random.

use petgraph::algo::{is_cyclic_directed, tarjan_scc};
use petgraph::graph::{DiGraph, NodeIndex};
use polepair::recalc::Graph;
use proptest::prelude::*;

fn oracle(nodes: usize, edges: &[(u32, u32)]) -> DiGraph<(), ()> {
    let mut graph = DiGraph::new();
    for _ in 0..nodes {
        graph.add_node(());
    }
    for (from, to) in edges {
        graph.add_edge(NodeIndex::new(*from as usize), NodeIndex::new(*to as usize), ());
    }
    graph
}

fn any_graph() -> impl Strategy<Value = (usize, Vec<(u32, u32)>)> {
    (1_usize..40).prop_flat_map(|nodes| {
        let node = 0..u32::try_from(nodes).unwrap();
        (Just(nodes), prop::collection::vec((node.clone(), node), 0..80))
    })
}

proptest! {
    #[test]
    fn components_are_those_of_petgraph((nodes, edges) in any_graph()) {
        let graph = Graph::new(nodes, &edges);
        let mut ours: Vec<Vec<u32>> = graph.components();
        // Each comes after all it leads to.
        let mut place = vec![0; nodes];
        for (at, component) in ours.iter().enumerate() {
            for node in component {
                place[*node as usize] = at;
            }
        }
        for (from, to) in &edges {
            prop_assert!(place[*from as usize] >= place[*to as usize]);
        }
        let mut theirs: Vec<Vec<u32>> = tarjan_scc(&oracle(nodes, &edges))
            .into_iter()
            .map(|component| component.into_iter().map(|node| u32::try_from(node.index()).unwrap()).collect())
            .collect();
        for list in [&mut ours, &mut theirs] {
            list.iter_mut().for_each(|component| component.sort_unstable());
            list.sort();
        }
        prop_assert_eq!(ours, theirs);
    }

    #[test]
    fn order_is_whole_where_petgraph_finds_no_loop((nodes, edges) in any_graph()) {
        let graph = Graph::new(nodes, &edges);
        let order = graph.order();
        let mut place = vec![usize::MAX; nodes];
        for (at, node) in order.iter().enumerate() {
            place[*node as usize] = at;
        }
        prop_assert_eq!(order.len() < nodes, is_cyclic_directed(&oracle(nodes, &edges)));
        for (from, to) in &edges {
            if place[*to as usize] != usize::MAX {
                prop_assert!(place[*from as usize] < place[*to as usize]);
            }
        }
    }

    #[test]
    fn way_back_is_a_way_back((nodes, edges) in any_graph()) {
        let graph = Graph::new(nodes, &edges);
        let looped = tarjan_scc(&oracle(nodes, &edges))
            .into_iter()
            .find(|component| component.len() > 1);
        if let Some(component) = looped {
            let from = u32::try_from(component[0].index()).unwrap();
            let way = graph.way_back(from, &|_| true);
            prop_assert!(!way.is_empty());
            prop_assert_eq!(way[0], from);
            for pair in way.windows(2) {
                prop_assert!(edges.contains(&(pair[0], pair[1])));
            }
            prop_assert!(edges.contains(&(*way.last().unwrap(), from)));
        }
    }
}

/// A chain of a million nodes: no recursion.
#[test]
fn long_chain() {
    let nodes = 1_000_000_u32;
    let edges: Vec<(u32, u32)> = (1..nodes).map(|node| (node - 1, node)).collect();
    let graph = Graph::new(nodes as usize, &edges);
    assert_eq!(graph.components().len(), nodes as usize);
    assert_eq!(graph.order().len(), nodes as usize);
}
